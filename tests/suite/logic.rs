//! Three-valued logic and the show/skip conventions.

use wallfoot::flow::{Condition, Diagnostics, Kind, Node, Source, Truth, Value, Vocabulary, condition};

fn compile(yaml: &str, names: &Vocabulary) -> Condition {
    let source = Source::new("test.yaml", yaml.to_owned());
    let mut diags = Diagnostics::default();
    let node = Node::read(&source, 0, &mut diags).unwrap();
    let compiled = condition(&node, names, &mut diags);
    diags.into_result(&[source]).unwrap();
    compiled
}

fn two() -> Vocabulary {
    let mut names = Vocabulary::default();
    names.add("a", Kind::YesNo);
    names.add("b", Kind::YesNo);
    names
}

const VALUES: [(Truth, Value); 3] =
    [(Truth::No, Value::yes_no(false)), (Truth::Unknown, Value::Unknown), (Truth::Yes, Value::yes_no(true))];

/// The tables of strong Kleene logic, as in the ternary conjunction and disjunction of the DMN
/// standard (OMG DMN 1.3, table 49 and 50): `null` there is `Unknown` here.
#[test]
fn truth_tables_of_the_dmn_standard() {
    use Truth::{No, Unknown, Yes};
    let and = [[No, No, No], [No, Unknown, Unknown], [No, Unknown, Yes]];
    let or = [[No, Unknown, Yes], [Unknown, Unknown, Yes], [Yes, Yes, Yes]];
    let names = two();
    let all = compile("all: [ { a: true }, { b: true } ]", &names);
    let any = compile("any: [ { a: true }, { b: true } ]", &names);
    let not = compile("not: { a: true }", &names);
    for (i, (_, a)) in VALUES.iter().enumerate() {
        for (j, (_, b)) in VALUES.iter().enumerate() {
            assert_eq!(all.eval(&[*a, *b]), and[i][j], "{a:?} and {b:?}");
            assert_eq!(any.eval(&[*a, *b]), or[i][j], "{a:?} or {b:?}");
        }
        assert_eq!(not.eval(&[*a]), [Yes, Unknown, No][i], "not {a:?}");
    }
}

#[test]
fn nested_groups_keep_their_ends() {
    let names = two();
    let nested = compile(
        "all: [ { any: [ { a: true }, { not: { b: true } } ] }, { not: { all: [ { a: true }, { b: false } ] } } ]",
        &names,
    );
    for (ta, a) in VALUES {
        for (tb, b) in VALUES {
            let expected = ta.or(!tb).and(!(ta.and(!tb)));
            assert_eq!(nested.eval(&[a, b]), expected, "{a:?} {b:?}");
        }
    }
}

#[test]
fn a_range_decides_only_where_it_lies_on_one_side() {
    let mut names = Vocabulary::default();
    names.add("gap", Kind::Length);
    let below = compile("gap: { below: 2 in }", &names);
    let inch = wallfoot::units::Length::inches;
    let between = |low: i64, high: i64| Value::Between(inch(low).steps(), inch(high).steps());
    assert_eq!(below.eval(&[between(0, 1)]), Truth::Yes);
    assert_eq!(below.eval(&[between(1, 3)]), Truth::Unknown);
    assert_eq!(below.eval(&[between(2, 3)]), Truth::No);
}

#[test]
fn known_is_never_unknown() {
    let names = two();
    let known = compile("a: { known: true }", &names);
    assert_eq!(known.eval(&[Value::Unknown]), Truth::No);
    assert_eq!(known.eval(&[Value::Absent]), Truth::No);
    assert_eq!(known.eval(&[Value::yes_no(false)]), Truth::Yes);
}

/// What keeps a condition open: only tests inside an undecided part.
#[test]
fn undecided_by_names_what_matters() {
    let names = two();
    let any = compile("any: [ { a: true }, { b: true } ]", &names);
    assert_eq!(any.undecided_by(&[Value::Unknown, Value::yes_no(false)]), [0]);
    assert_eq!(any.undecided_by(&[Value::Unknown, Value::Unknown]), [0, 1]);
    assert!(any.undecided_by(&[Value::yes_no(true), Value::Unknown]).is_empty());
}

/// HL7 Structured Data Capture (enableWhen): a question that is not shown keeps no answer, and
/// everything that hangs below it is hidden too.
#[test]
fn hidden_questions_have_no_answer() {
    use crate::support::{CONTENT, answers};
    let mut given =
        answers("region: us\nstage: planned\ncladding: brick_veneer\nveneer_weeps: seen\nveneer_flashing: seen");
    let number = |id: &str| CONTENT.flow.question(id).unwrap();
    let state = CONTENT.flow.state(&given);
    assert!(state.shown[number("veneer_flashing")].is_yes());
    given.set(
        number("cladding"),
        CONTENT.flow.questions[number("cladding")].read_answer("vinyl", wallfoot::units::Units::Inch).unwrap(),
    );
    let state = CONTENT.flow.state(&given);
    for id in ["veneer_weeps", "veneer_flashing"] {
        assert_eq!((state.shown[number(id)], state.values[number(id)]), (Truth::No, Value::Absent), "{id}");
    }
    // its answer is kept aside, and counts again when its branch is taken again
    assert!(given.get(number("veneer_flashing")).is_some());
    // where the parent is "not sure", nobody can tell whether it applies
    given.set(number("cladding"), wallfoot::flow::Answer::NotSure);
    let state = CONTENT.flow.state(&given);
    assert_eq!(
        (state.shown[number("veneer_weeps")], state.values[number("veneer_weeps")]),
        (Truth::Unknown, Value::Unknown)
    );
}
