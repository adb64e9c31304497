//! The user's own values for what quantities are counted with.

use super::error::CommandError;
use super::global::{Global, UnitsArg};
use crate::content::Content;
use crate::units::Units;
use clap::Args;

#[derive(Debug, Args)]
pub(super) struct FigureArgs {
    /// Your own value for a figure that quantities are counted with, as in `--figure breakage=7` or
    /// `--figure "flashing_length=8 ft"`. May be given more than once
    #[arg(long, value_name = "NAME=VALUE", help_heading = "Quantities", hide_short_help = true)]
    figure: Vec<String>,
}

impl FigureArgs {
    /// Puts the values into the content.
    ///
    /// # Errors
    /// When one is not known, is no such value, or does not go together with the others.
    pub(super) fn set(&self, content: &mut Content, global: &Global) -> Result<(), CommandError> {
        let units = global.units.map_or(Units::Inch, UnitsArg::units);
        for entry in &self.figure {
            let Some((id, value)) = entry.split_once('=') else {
                return Err(CommandError::FigureForm { entry: entry.clone() });
            };
            let set = content.set_figure(id.trim(), value.trim(), units);
            set.map_err(|error| CommandError::Figure { entry: entry.clone(), error })?;
        }
        content.figures_go_together().map_err(CommandError::Figures)
    }
}
