//! Content that asks nothing and knows nothing but the names the program needs: for tests and fuzzing with questions of their own.

use wallfoot::content::Content;
use wallfoot::flow::Source;

/// Every name that the program computes with, as content of its own: for tests whose questions are made up. All of it is
/// hidden, so that no answer counts but the region, which [`answer_stub`] gives.
pub(crate) fn stub() -> Vec<Source> {
    use std::fmt::Write;
    use wallfoot::flow::QuestionKind;
    use wallfoot::names::{FigureId, Named, Needed, QuestionId};
    let never = "show_when: { all: [ { stub: { known: true } }, { stub: { known: false } } ] }";
    let mut questions = String::from(
        "section: stub\ntitle: Stub\norder: 99\nquestions:\n  - { id: stub, short: S, ask: S, kind: yes_no }\n",
    );
    let (mut defined, mut figures) = (String::from("defined:\n"), String::from("figures:\n"));
    let (mut layers, mut loads, mut runoff) =
        (String::from("layers:\n"), String::from("loads:\n"), String::from("runoff:\n"));
    let mut usual = String::from("usual:\n");
    for needed in Needed::all() {
        match needed {
            Needed::Question(id) => {
                let choices = id.choices().map_or_else(|| vec!["stub"], |(ids, _)| ids.to_vec());
                let choices: Vec<String> = choices.iter().map(|c| format!("{{ id: {c}, label: {c} }}")).collect();
                let choices = match (id, id.kind()) {
                    (QuestionId::Cladding, _) => "choices_from: claddings, ".to_owned(),
                    (QuestionId::Feature, _) => "choices_from: features, ".to_owned(),
                    (_, QuestionKind::OneOf | QuestionKind::SeveralOf | QuestionKind::Places) => {
                        format!("choices: [ {} ], ", choices.join(", "))
                    }
                    _ => String::new(),
                };
                let (name, kind) = (id.text(), id.kind().word());
                let never = if id == QuestionId::Region { "not_sure: false" } else { never };
                writeln!(questions, "  - {{ id: {name}, short: S, ask: S, kind: {kind}, {choices}{never} }}").unwrap();
            }
            Needed::Defined(id) => {
                writeln!(defined, "  - {{ name: {}, means: m, when: {{ stub: {{ known: true }} }} }}", id.text())
                    .unwrap();
            }
            Needed::Figure(id) => {
                let value = if FigureId::is_length(id) { "length: 1 in" } else { "number: 1" };
                writeln!(figures, "  - {{ id: {}, what: w, {value}, source: s, basis: practice }}", id.text()).unwrap();
            }
            Needed::Material(id) => {
                let (name, when) = (id.text(), "when: { stub: true }");
                writeln!(
                    layers,
                    "  - {{ id: {name}, {when}, what: w, material: {name}, thickness: 1 in, source: s, basis: practice }}"
                )
                .unwrap();
            }
            Needed::Load(id) => {
                writeln!(loads, "  - {{ id: {}, what: w, length: 1 in, source: s, basis: practice }}", id.text())
                    .unwrap();
            }
            Needed::Runoff(id) => {
                writeln!(runoff, "  - {{ id: {}, what: w, part: 1, source: s, basis: practice }}", id.text()).unwrap();
            }
            Needed::Usual(id) => {
                let figure = if id.is_slope() { "slope: 2 %" } else { "length: 1 in" };
                writeln!(usual, "  - {{ id: {}, what: w, {figure}, source: s, basis: practice }}", id.text()).unwrap();
            }
        }
    }
    let rows = "claddings:\n  - { id: stub, label: s, drains: solid, carried_by: [block], exit: masonry_face, drawn: wall }\n\
                features:\n  - { id: stub, label: s, shape: flat, lifts: loose }\n\
                limits:\n  - { id: stub, regions: [stub], what: w, measure: slab_thickness, at_least: 0 in, source: s, basis: practice }\n";
    let guards = ["untold_trace", "no_limits", "no_rules"];
    let guards: Vec<String> = guards
        .iter()
        .map(|g| {
            format!(
                "  - {{ id: {g}, guard: {g}, verdict: find_out_first, title: t, say: s, do: d, source: s, basis: practice }}\n"
            )
        })
        .collect();
    let guards = format!("findings:\n{}", guards.concat());
    let words = wallfoot::commands::embedded("words.yaml").expect("the words are built in");
    [
        ("content.yaml", "version: 1\nstandalone: true\n".to_owned()),
        ("stub.yaml", questions),
        ("stub_rows.yaml", [rows, &defined, &figures, &layers, &loads, &runoff, &usual].concat()),
        ("stub_guards.yaml", guards),
        ("words.yaml", words.to_owned()),
    ]
    .into_iter()
    .map(|(name, text)| Source::new(name.to_owned(), text))
    .collect()
}

/// Answers the region of the stub, without which nothing is known about any limit.
pub(crate) fn answer_stub(content: &Content, answers: &mut wallfoot::flow::Answers) {
    answers.set(content.flow.question("region").expect("the stub has it"), wallfoot::flow::Answer::Choice(0));
}
