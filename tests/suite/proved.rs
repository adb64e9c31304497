//! The shipped content, proved over all answers, and the room that asks the solver.

use crate::support::{run, top};
use proptest::prelude::*;
use wallfoot::commands::sources;
use wallfoot::content::Content;
use wallfoot::prove::{Flaw, Proof, named_in_texts, prove};
use wallfoot::solve::{Kleene, Lit, Sat};

/// The whole proof by the program itself, as its author runs it.
#[test]
fn the_shipped_content_is_sound() {
    let output = run(&top(), &["prove", "--as", "json"]);
    let said = String::from_utf8(output.stdout).unwrap();
    let proof: serde_json::Value = serde_json::from_str(&said).unwrap();
    let faults = proof["faults"].as_array().unwrap();
    assert!(faults.is_empty(), "{faults:#?}");
    assert_eq!((output.status.code(), output.stderr.as_slice()), (Some(0), &b""[..]));
    // a proof that claims nothing proves nothing: three claims a row, and a promise that is not settled is the exception
    let count = |name: &str| proof[name].as_u64().unwrap();
    assert!(count("shown") > 2000 && count("proved") > 140, "{said}");
    let unsettled = proof["unsettled"].as_array().unwrap();
    assert!(unsettled.len() <= 30, "{unsettled:#?}");
}

#[test]
fn statements_are_held_together() {
    let mut sat = Sat::new();
    let (a, b, c) = (sat.fresh(), sat.fresh(), sat.fresh());
    let both = sat.all(&[a, b]);
    assert_eq!(both, sat.all(&[b, a]), "the same statement is built once");
    let either = sat.any(&[a, b]);
    assert!(!sat.can(&[both, !either]) && sat.can(&[either, !both]));
    assert_eq!((sat.all(&[a, !a]), sat.any(&[a, !a])), (!sat.yes(), sat.yes()));
    sat.one_of(&[a, b, c]);
    assert!(!sat.can(&[both]));
    let against: Vec<_> = sat.against();
    assert_eq!(against, [both]);
    assert!(sat.can(&[c]) && !sat.holds(a) && !sat.holds(b));
    // what is enough for it: that the third one holds
    let neither = !either;
    assert!(sat.can(&[neither]));
    let because = sat.because(&[neither]);
    assert!(because.contains(&!a) && because.contains(&!b), "{because:?}");
}

/// Strong Kleene logic: Kleene, "Introduction to Metamathematics" (1952), section 64, from memory.
#[test]
fn three_values_follow_kleene() {
    let mut sat = Sat::new();
    let fresh = |sat: &mut Sat| {
        let (yes, no) = (sat.fresh(), sat.fresh());
        sat.clause(&[!yes, !no]);
        Kleene { yes, no }
    };
    let (a, b) = (fresh(&mut sat), fresh(&mut sat));
    let (all, any) = (Kleene::all(&mut sat, &[a, b]), Kleene::any(&mut sat, &[a, b]));
    // no, unknown, yes are 0, 1, 2: "and" is the less, "or" the greater
    let is = |kleene: Kleene, value: usize| match value {
        0 => vec![kleene.no, !kleene.yes],
        1 => vec![!kleene.no, !kleene.yes],
        _ => vec![!kleene.no, kleene.yes],
    };
    for one in 0..3 {
        for other in 0..3 {
            let mut said = is(a, one);
            said.extend(is(b, other));
            for value in 0..3 {
                let mut with = said.clone();
                with.extend(is(all, value));
                assert_eq!(sat.can(&with), value == one.min(other), "{one} and {other} is {value}");
                let mut with = said.clone();
                with.extend(is(any, value));
                assert_eq!(sat.can(&with), value == one.max(other), "{one} or {other} is {value}");
                let mut with = said.clone();
                with.extend(is(!a, value));
                assert_eq!(sat.can(&with), value == 2 - one);
            }
        }
    }
}

/// The same content gives the same proof, whatever else the processors have to do meanwhile.
#[test]
fn a_proof_is_the_same_each_time() {
    let mut content = Content::load(&sources(None, None).unwrap(), None).unwrap();
    let named = named_in_texts(&mut content);
    let said = |flaws: &[Flaw]| -> Vec<String> { flaws.iter().map(|flaw| format!("{flaw:?}")).collect() };
    let all = |proof: &Proof| {
        let counts = (proof.shown, proof.proved, proof.tried, proof.visits, proof.size);
        (counts, said(&proof.faults), said(&proof.unsettled))
    };
    let [one, other] = [(); 2].map(|()| all(&prove(&content, &named, &mut |_, _| {})));
    assert_eq!(one, other);
}

/// A small formula as it may be built: free statements, of some groups of which one holds, statements made of others, and statements that
/// follow from those.
fn built(sat: &mut Sat, made: &[(bool, Vec<(usize, bool)>)], wide: &[usize]) -> Vec<Lit> {
    let mut lits: Vec<Lit> = (0..6).map(|_| sat.free()).collect();
    sat.one_of(&lits[..3]);
    for (nth, (all, parts)) in made.iter().enumerate() {
        let parts: Vec<Lit> = parts
            .iter()
            .map(|(at, turned)| if *turned { !lits[at % lits.len()] } else { lits[at % lits.len()] })
            .collect();
        let lit = if *all { sat.all(&parts) } else { sat.any(&parts) };
        if wide.contains(&nth) {
            sat.widen(lit);
        }
        let follows = sat.fresh();
        sat.clause(&[!lit, follows]);
        if nth % 2 == 0 {
            sat.clause(&[lit, !follows]);
        }
        lits.extend([lit, follows]);
    }
    lits
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    /// A formula in parts never says no where the whole one says yes, and with all parts says the same.
    #[test]
    fn a_formula_in_parts_is_the_same_formula(
        made in prop::collection::vec((any::<bool>(), prop::collection::vec((0..40_usize, any::<bool>()), 1..4)), 1..10),
        wide in prop::collection::vec(0..10_usize, 0..4),
        asked in prop::collection::vec(prop::collection::vec((0..40_usize, any::<bool>()), 1..4), 1..6),
        like in prop::collection::vec((0..40_usize, any::<bool>()), 0..6),
    ) {
        let (mut whole, mut parts) = (Sat::new(), Sat::in_parts());
        let (of_whole, of_parts) = (built(&mut whole, &made, &wide), built(&mut parts, &made, &wide));
        let these = |lits: &[Lit], which: &[(usize, bool)]| -> Vec<Lit> {
            which.iter().map(|(at, turned)| if *turned { !lits[at % lits.len()] } else { lits[at % lits.len()] }).collect()
        };
        for which in &asked {
            let (a, b) = (these(&of_whole, which), these(&of_parts, which));
            parts.begin(&these(&of_parts, &like));
            let can = whole.can(&a);
            let quick = parts.can(&b);
            prop_assert!(quick || !can);
            let calm = parts.can_calmly(&b);
            prop_assert!(quick || !calm, "calm is a case of all");
            let at_all = parts.can_at_all(&b);
            prop_assert_eq!(at_all, can);
            if at_all {
                prop_assert!(b.iter().all(|lit| parts.holds(*lit)));
            } else {
                let against = parts.against();
                prop_assert!(against.iter().all(|lit| b.contains(lit)));
                let same: Vec<Lit> = against.iter().filter_map(|lit| b.iter().position(|other| other == lit)).map(|at| a[at]).collect();
                prop_assert!(!whole.can(&same));
            }
        }
    }
}
