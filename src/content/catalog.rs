//! Claddings and features as rows, and the names that the program needs.

use super::gather::{ContentLoader, Gathered};
use crate::flow::{Answer, Answers, Choice, Flow, Place, Trait, Truth, nearest};
use crate::names::{Carrier, Drains, Drawn, Lifts, NameFault, Named, Needed, QuestionId, Shape};
use crate::pack::Text;
use crate::site::{Cladding, Feature};

/// What a row of a cladding may say, and a row of a feature.
const OF_CLADDINGS: [&str; 10] =
    ["drains", "carried_by", "usually", "solid_on", "exit", "exit_without", "exit_solid", "drawn", "courses", "is"];
const OF_FEATURES: [&str; 3] = ["shape", "lifts", "is"];
/// What the row of a feature says in `is` of work with air between it and the ground.
const ON_POSTS: &str = "on_posts";
/// How many missing names of a kind are told.
const SHOWN: usize = 8;
/// Those of them that name an exit.
const EXITS: [&str; 3] = ["exit", "exit_without", "exit_solid"];

fn choices(flow: &Flow, id: QuestionId) -> &[Choice] {
    flow.question(id.text()).map_or(&[], |q| flow.questions[q].choices.as_slice())
}

/// The names of all exits that rows of claddings give, each once.
pub(super) fn exit_kinds(flow: &Flow) -> Vec<Text> {
    let mut exits: Vec<Text> = Vec::new();
    for choice in choices(flow, QuestionId::Cladding) {
        for exit in EXITS.iter().flat_map(|name| choice.values_of(name)) {
            if !exits.contains(exit) {
                exits.push(exit.clone());
            }
        }
    }
    exits
}

impl ContentLoader<'_> {
    pub(super) fn claddings(&mut self, flow: &Flow, exits: &[Text]) -> Vec<Cladding> {
        let row = |choice: &Choice| {
            self.known_traits(choice, &OF_CLADDINGS, "a cladding");
            let exit = self.exit(choice, "exit", exits, true);
            let cladding = Cladding {
                drains: self.word(choice, "drains", true).unwrap_or(Drains::Laps),
                carried_by: self.several(choice, "carried_by", true),
                usually: self.word(choice, "usually", false),
                solid_on: self.several(choice, "solid_on", false),
                exit: exit.unwrap_or_default(),
                exit_without: self.exit(choice, "exit_without", exits, false).or(exit).unwrap_or_default(),
                exit_solid: self.exit(choice, "exit_solid", exits, false).or(exit).unwrap_or_default(),
                drawn: self.word(choice, "drawn", true).unwrap_or(Drawn::Boards),
                in_courses: !choice.values_of("courses").is_empty(),
            };
            let on: Vec<Carrier> = cladding.usually.into_iter().chain(cladding.solid_on.iter().copied()).collect();
            if let Some(other) = on.iter().find(|carrier| !cladding.carried_by.contains(carrier)) {
                let message = format!("`{}` names `{}`, which is not in its `carried_by`", choice.id, other.text());
                self.diags.error(choice.place, message);
            }
            cladding
        };
        let rows: Vec<Cladding> = choices(flow, QuestionId::Cladding).iter().map(row).collect();
        for (at, cladding) in rows.iter().enumerate() {
            self.asks_what_it_needs(flow, at, cladding);
        }
        rows
    }

    /// What decides where the water of a cladding goes is asked for it: else it would stay unknown for good.
    fn asks_what_it_needs(&mut self, flow: &Flow, at: usize, cladding: &Cladding) {
        let Some(question) = flow.question(QuestionId::Cladding.text()) else { return };
        let mut answers = Answers::default();
        answers.set(question, Answer::Choice(at));
        let shown = flow.state(&answers).shown;
        // a question that is not there is reported elsewhere
        let is_asked = |id: QuestionId| flow.question(id.text()).is_none_or(|number| shown[number] != Truth::No);
        let solid = cladding.carried_by.iter().all(|on| cladding.solid_on.contains(on));
        let by_family: &[QuestionId] = match cladding.drains {
            _ if solid => &[],
            Drains::Coat => &[QuestionId::WeepScreed],
            Drains::Foam => &[QuestionId::EifsDrained],
            Drains::Cavity => &[QuestionId::VeneerWeeps],
            Drains::Laps | Drains::Solid => &[],
        };
        let mut missing: Vec<&str> = by_family.iter().filter(|id| !is_asked(**id)).map(|id| id.text()).collect();
        let backings = [QuestionId::Backing, QuestionId::StuccoBacking];
        if cladding.carried_by.len() > 1 && !backings.into_iter().any(is_asked) {
            missing.push(QuestionId::Backing.text());
        }
        let choice = &flow.questions[question].choices[at];
        for id in missing {
            let message = format!("`{}` is never asked for `{}`, and hangs on it", id, choice.id);
            self.diags.error_with_hint(choice.place, message, Some(format!("add `{id}` to the `then:` of its row")));
        }
    }

    pub(super) fn features(&mut self, flow: &Flow) -> Vec<Feature> {
        let row = |choice: &Choice| {
            self.known_traits(choice, &OF_FEATURES, "a feature");
            Feature {
                shape: self.word(choice, "shape", true).unwrap_or(Shape::Flat),
                lifts: self.word(choice, "lifts", true).unwrap_or(Lifts::Never),
                on_posts: choice.values_of("is").iter().any(|word| word == ON_POSTS),
            }
        };
        choices(flow, QuestionId::Feature).iter().map(row).collect()
    }

    fn known_traits(&mut self, choice: &Choice, known: &[&str], what: &str) {
        for found in choice.traits.iter().filter(|t| !known.contains(&t.name.as_str())) {
            let near = nearest(&found.name, known.iter().copied());
            let hint =
                near.map_or_else(|| format!("known here: {}", known.join(", ")), |n| format!("did you mean `{n}`?"));
            let message = format!("the row of {what} has no field `{}`", found.name);
            self.diags.error_with_hint(found.place, message, Some(hint));
        }
    }

    /// A field of a row: there once, or a mistake where it must be.
    fn field<'c>(&mut self, choice: &'c Choice, name: &str, must: bool) -> Option<&'c Trait> {
        let found = choice.traits.iter().find(|t| t.name == name);
        if found.is_none() && must {
            self.diags.error(choice.place, format!("`{}` needs `{name}:`", choice.id));
        }
        found
    }

    fn several<T: Named>(&mut self, choice: &Choice, name: &str, must: bool) -> Vec<T> {
        let Some(field) = self.field(choice, name, must) else { return Vec::new() };
        let mut found = Vec::new();
        for value in &field.values {
            if let Some(known) = T::of(value) {
                found.push(known);
                continue;
            }
            let all: Vec<&str> = T::ALL.iter().map(|t| t.text()).collect();
            let near = nearest(value, all.iter().copied());
            let hint =
                near.map_or_else(|| format!("use one of: {}", all.join(", ")), |n| format!("did you mean `{n}`?"));
            self.diags.error_with_hint(field.place, format!("`{name}` cannot be `{value}`"), Some(hint));
        }
        if must && field.values.is_empty() {
            self.diags.error(field.place, format!("`{name}` is empty"));
        }
        found
    }

    fn word<T: Named>(&mut self, choice: &Choice, name: &str, must: bool) -> Option<T> {
        let found = self.several(choice, name, must);
        if let (Some(field), true) = (choice.traits.iter().find(|t| t.name == name), found.len() > 1) {
            self.diags.error(field.place, format!("`{name}` must be one word"));
        }
        found.first().copied()
    }

    /// The number of an exit.
    fn exit(&mut self, choice: &Choice, name: &str, exits: &[Text], must: bool) -> Option<usize> {
        let field = self.field(choice, name, must)?;
        let [one] = field.values.as_slice() else {
            self.diags.error(field.place, format!("`{name}` must be one word"));
            return None;
        };
        exits.iter().position(|exit| exit == one)
    }

    /// Reports names that the program needs and the content does not have. Of several of one kind, those that look
    /// like a misspelt one are told where that one stands, the others together at the end of the list where they belong.
    pub(super) fn name_faults(
        &mut self,
        faults: &[NameFault],
        flow: &Flow,
        places: &[Place],
        gathered: &Gathered<'_, '_>,
        incomplete: bool,
    ) {
        let last = |list: &str| gathered.list(list).last().map(|node| node.place);
        let mut missing: Vec<(&str, Place, Vec<&str>)> = Vec::new();
        for fault in faults {
            match fault {
                NameFault::Missing(_) if incomplete => {}
                NameFault::Missing(needed) => {
                    let (kind, name) = needed.words();
                    let place = match needed {
                        Needed::Question(_) => places.last().copied(),
                        Needed::Defined(_) => last("defined"),
                        Needed::Figure(_) => last("figures"),
                        Needed::Material(_) => last("layers"),
                        Needed::Load(_) => last("loads"),
                        Needed::Runoff(_) => last("runoff"),
                        Needed::Usual(_) => last("usual"),
                    };
                    let near = match needed {
                        Needed::Question(_) => misspelt(flow, name).map(|at| places[at]),
                        _ => None,
                    };
                    if let Some(near) = near {
                        let message = format!("the program computes with the question `{name}`, and there is none");
                        self.diags.error_with_hint(near, message, Some(format!("is it this one? Call it `{name}`")));
                        continue;
                    }
                    let place = place.or(places.last().copied()).unwrap_or_default();
                    match missing.iter_mut().find(|(known, ..)| *known == kind) {
                        Some((.., names)) => names.push(name),
                        None => missing.push((kind, place, vec![name])),
                    }
                }
                NameFault::Kind(id) => {
                    let place = flow.question(id.text()).map(|at| places[at]).unwrap_or_default();
                    let message = format!("the program computes with `{}` and needs another kind of answer", id.text());
                    let hint = format!("make its kind `{}`", id.kind().word());
                    self.diags.error_with_hint(place, message, Some(hint));
                }
                NameFault::NoChoice(id, choice) => {
                    let place = flow.question(id.text()).map(|at| places[at]).unwrap_or_default();
                    let message = format!(
                        "the program computes with the choice `{choice}` of `{}`, and there is none",
                        id.text()
                    );
                    self.diags.error(place, message);
                }
                NameFault::NewChoice(id, at) => {
                    let Some(number) = flow.question(id.text()) else { continue };
                    let (choices, choice) = (&flow.questions[number].choices, &flow.questions[number].choices[*at]);
                    let message = format!(
                        "the program computes with `{}` and does not know its choice `{}`",
                        id.text(),
                        choice.id
                    );
                    let known: Vec<&str> =
                        choices.iter().filter(|c| c.id != choice.id).map(|c| c.id.as_str()).collect();
                    let hint = format!("it needs a change of the program; beside it stand: {}", known.join(", "));
                    self.diags.error_with_hint(choice.place, message, Some(hint));
                }
            }
        }
        // one mistake, however much of a set of its own is missing: the first names of each kind tell which
        let Some((_, place, _)) = missing.first() else { return };
        let place = *place;
        let total: usize = missing.iter().map(|(.., names)| names.len()).sum();
        let lists = missing.into_iter().map(|(kind, _, names)| match names.len().checked_sub(SHOWN) {
            None | Some(0) => format!("{kind}: {}", names.join(", ")),
            Some(more) => format!("{kind}: {} and {more} more", names[..SHOWN].join(", ")),
        });
        let lists = lists.collect::<Vec<_>>().join("; ");
        let message = if total == 1 {
            format!("the program computes with a name that is not here ({lists})")
        } else {
            format!("the program computes with {total} names that are not here ({lists})")
        };
        let hint = "add it, or give one that was renamed its old name; docs/writing-questions.md lists them all";
        self.diags.error_with_hint(place, message, Some(hint.to_owned()));
    }
}

/// A question that the program does not know by its name, and whose name is nearly this one.
fn misspelt(flow: &Flow, name: &str) -> Option<usize> {
    let unknown = flow.questions.iter().map(|q| q.id.as_str()).filter(|id| QuestionId::of(id).is_none());
    flow.question(nearest(name, unknown)?)
}
