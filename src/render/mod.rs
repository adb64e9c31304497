//! A [`Document`](crate::sheet::Document) in, text out. Nothing here decides what is said.

mod chart;
mod drawing;
mod elevation;
mod elevation_text;
mod face;
mod flow;
mod hatch;
mod held;
mod html;
mod labels;
mod lettering;
mod markdown;
mod pdf;
mod scale;
mod stack;
mod svg;
mod text;

pub use drawing::drawing;
pub use elevation::elevation_svg;
pub use elevation_text::elevation_text;
pub use flow::{FlowArrow, FlowBlock, FlowChart, FlowStep, flow_mermaid, flow_svg};
pub use html::html;
pub use markdown::markdown;
pub use pdf::{PDF_IS_BUILT, PaperSize, PdfError, pdf};
pub use svg::{Size, svg};
pub use text::{TextStyle, screen, text};

/// Words that the renderers put around the parts of a document. They are content.
#[derive(Debug, Clone, Default)]
pub struct Marks {
    /// The word at a hold point.
    pub stop: String,
    /// The line that numbers pages, with `{page}` and `{pages}` in it.
    pub page: String,
    /// The name of the file that is written, without its ending; a printer offers it as the name of the print. May be empty.
    pub file: String,
}
