//! `wallfoot prove --map`: the flow of the questions as a picture.

use super::output::Forms;
use super::written::Format;
use crate::content::Content;
use crate::prove::{MapArrow, flow_map};
use crate::render::{FlowArrow, FlowBlock, FlowChart, FlowStep, flow_mermaid, flow_svg};
use clap::ValueEnum;

/// How the flow is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum MapForm {
    /// A vector picture, a strip of A4 pages
    Svg,
    /// The words of Mermaid, which many editors draw
    Mermaid,
}

impl Forms for MapForm {
    fn format(self) -> Format {
        match self {
            MapForm::Svg => Format::Svg,
            MapForm::Mermaid => Format::Mermaid,
        }
    }
}

/// The flow in a form.
pub(super) fn made(content: &Content, form: MapForm) -> String {
    let chart = chart(content);
    match form {
        MapForm::Svg => flow_svg(&chart),
        MapForm::Mermaid => flow_mermaid(&chart),
    }
}

/// The flow as it is drawn. Questions are numbered from 1, in the order of the files.
fn chart(content: &Content) -> FlowChart {
    let map = flow_map(content);
    let from = |to: usize| {
        let arrows = map.arrows.iter().filter(move |arrow| arrow.to == to);
        arrows.map(|MapArrow { from, when, .. }| FlowArrow { from: from + 1, when: when.clone() }).collect()
    };
    let blocks: Vec<FlowBlock> = map
        .sections
        .iter()
        .filter(|section| !section.questions.is_empty())
        .map(|section| FlowBlock {
            title: section.title.to_owned(),
            steps: section
                .questions
                .iter()
                .map(|question| FlowStep {
                    number: question.number + 1,
                    id: question.id.to_owned(),
                    name: question.short.to_owned(),
                    note: match (question.read_by, question.computed) {
                        (0, true) => "computed with".to_owned(),
                        (0, false) => "no rule".to_owned(),
                        (1, _) => "1 rule".to_owned(),
                        (count, _) => format!("{count} rules"),
                    },
                    from: from(question.number),
                })
                .collect(),
        })
        .collect();
    let count: usize = blocks.iter().map(|block| block.steps.len()).sum();
    FlowChart {
        title: "The questions and what brings them up".to_owned(),
        description: format!(
            "{count} questions in {} sections, in the order of the files. {} arrows lead from an earlier question to one that an answer to it brings up. Questions with a thick edge are always asked. A short arrow comes from another page.",
            blocks.len(),
            map.arrows.len()
        ),
        blocks,
    }
}
