//! What a row says of its source, held against the register of works.

use super::basis::Basis;
use super::rows::RowReader;
use super::works::{InSource, Must, Resting, Said};
use crate::pack::Text;

impl RowReader<'_> {
    /// Holds a source against the register, notes the row there, and gives the edition: its own one, or that of its works.
    pub(crate) fn rests_on(&mut self, said: &Said<'_>, source: &str, edition: Text, basis: Option<Basis>) -> Text {
        // the file of a town names its own sources, and nobody here can know them
        let own = self.is_local(said.place);
        let found = if own { InSource::default() } else { self.register.found(source).clone() };
        let bare = source.is_empty() && basis.is_some_and(|basis| basis < Basis::Memory);
        if !own || bare {
            self.check(said, source, &found, basis);
        }
        let edition = if edition.is_empty() { self.register.editions(&found.works).into() } else { edition };
        if let (Some(id), Some(basis)) = (said.id, basis) {
            let row = Resting { kind: said.kind, id: id.into(), works: found.works, source: source.into(), basis };
            self.register.resting.push(row);
        }
        edition
    }

    fn check(&mut self, said: &Said<'_>, source: &str, found: &InSource, basis: Option<Basis>) {
        let row = || said.id.map_or_else(|| format!("a {}", said.kind), |id| format!("the {} `{id}`", said.kind));
        let (message, hint) = match basis {
            None if said.must == Must::Figure || !source.is_empty() => (
                format!("{} does not say how its figure is known", row()),
                "give `basis:` published, reported, memory or practice".to_owned(),
            ),
            None => return,
            Some(basis) if source.is_empty() => match (basis, said.must) {
                (Basis::Practice, Must::Saying) => return,
                (Basis::Practice, Must::Figure) => (
                    format!("{} does not say what practice it follows", row()),
                    "say it in plain words, such as `source: practice of the trade`".to_owned(),
                ),
                (Basis::Memory, _) => (
                    format!("{} does not say what it is remembered of", row()),
                    "give `source:`: the work, or in plain words what is remembered".to_owned(),
                ),
                _ => (
                    "a figure needs its source".to_owned(),
                    "give `source:` and `basis:`; without a source the basis is `practice`".to_owned(),
                ),
            },
            Some(basis) => match (found.vague, found.works.as_slice()) {
                (Some(vague), _) => (
                    format!("`{}` is no source that anybody could look up", self.register.vague[vague]),
                    "name its title and number, or say in plain words what is common, with the basis `memory` or `practice`"
                        .to_owned(),
                ),
                (None, []) if basis < Basis::Memory => {
                    let meant = self.register.meant(source).map(|name| format!("did you mean `{name}`? Otherwise "));
                    (
                        format!("{} is {} and `{source}` names no work of the register", row(), basis.word()),
                        format!(
                            "{}add the work to `works:` in sources.yaml (id, cited_as, title, edition, read), or make the basis \
                             `memory` or `practice`",
                            meant.unwrap_or_default()
                        ),
                    )
                }
                (None, works) if !works.is_empty() && works.iter().all(|w| !self.register.works[*w].read.bears(basis)) => {
                    let work = &self.register.works[works[0]];
                    (
                        format!("{} is {}, but of `{}` {}", row(), basis.word(), work.id, work.read.said()),
                        "read the text and say so in sources.yaml, or give the row the basis that is true".to_owned(),
                    )
                }
                _ => return,
            },
        };
        self.diags.error_with_hint(said.place, message, Some(hint));
    }
}
