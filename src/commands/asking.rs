//! An interview over the content: its order, its words, and which year it is.

use super::outside::this_year;
use crate::content::Content;
use crate::flow::Answers;
use crate::interview::{Interview, Next};
use crate::judge::Upcoming;
use crate::units::Units;

/// An interview in this order, in the words of the content.
pub(super) fn interview<U: Fn(&Answers) -> Units>(
    content: &Content,
    units: U,
    order: impl Fn(&Answers, Option<usize>) -> Option<Upcoming>,
) -> Interview<'_, U, impl Fn(&Answers, Option<usize>) -> Option<Next>> {
    let next = move |answers: &Answers, last: Option<usize>| {
        order(answers, last).map(|Upcoming { question, more }| Next { question, more })
    };
    Interview::new(&content.flow, units, next).in_year(this_year()).saying(content.word("label.not_sure"))
}
