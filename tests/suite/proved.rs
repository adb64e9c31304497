//! The shipped content, proved over all answers, and the room that asks the solver.

use crate::support::{run, top};
use wallfoot::solve::{Kleene, Sat};

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
