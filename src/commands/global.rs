//! The arguments that every subcommand takes, and what they choose.

use super::error::CommandError;
use super::outside::note;
use super::sources;
use crate::content::Content;
use crate::flow::{Answer, Answers};
use crate::names::QuestionId;
use crate::sheet::Cover;
use crate::units::Units;
use clap::{Args, ValueEnum};
use std::io::{self, IsTerminal};
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(super) struct Global {
    /// A folder of questions to lay over the built-in ones
    #[arg(long, value_name = "DIR", global = true)]
    pub(super) questions: Option<PathBuf>,
    /// A file of limits for your town: its rows replace built-in ones of the same id, or come on top
    #[arg(long, value_name = "FILE", global = true)]
    pub(super) limits: Option<PathBuf>,
    /// The region whose limits hold, such as us, canada or uk (overrides the visit)
    #[arg(long, value_name = "REGION", global = true)]
    pub(super) region: Option<String>,
    /// How lengths are shown and bare numbers are read (otherwise by region)
    #[arg(long, value_enum, global = true)]
    pub(super) units: Option<UnitsArg>,
    /// Language of the sheets, such as es
    #[arg(long, value_name = "LANG", global = true)]
    pub(super) lang: Option<String>,
    /// Your own value for a figure that quantities are counted with, as in `--figure breakage=7` or
    /// `--figure "flashing_length=8 ft"`. May be given more than once
    #[arg(long, value_name = "NAME=VALUE", global = true)]
    pub(super) figure: Vec<String>,
    /// Plain lines: no menus, no drawn tables, no bold
    #[arg(long, global = true)]
    pub(super) plain: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub(super) enum UnitsArg {
    Inch,
    Metric,
}

impl UnitsArg {
    pub(super) fn units(self) -> Units {
        match self {
            UnitsArg::Inch => Units::Inch,
            UnitsArg::Metric => Units::Metric,
        }
    }
}

impl Global {
    pub(super) fn content(&self) -> Result<&'static mut Content, CommandError> {
        let sources = self.sources()?;
        let content = Content::load_for_good(&sources, self.lang.as_deref())?;
        let units = self.units.map_or(Units::Inch, UnitsArg::units);
        for entry in &self.figure {
            let Some((id, value)) = entry.split_once('=') else {
                return Err(CommandError::FigureForm { entry: entry.clone() });
            };
            let set = content.set_figure(id.trim(), value.trim(), units);
            set.map_err(|error| CommandError::Figure { entry: entry.clone(), error })?;
        }
        content.figures_go_together().map_err(CommandError::Figures)?;
        if let Some(folder) = self.questions.as_deref().filter(|_| !crate::prove::gaps(content).is_empty()) {
            let folder = folder.display();
            note(&format!(
                "note: the questions in {folder} have gaps, which `wallfoot prove {folder}` tells; where one matters, the advice is to find out first"
            ));
        }
        Ok(content)
    }

    pub(super) fn sources(&self) -> Result<Vec<crate::flow::Source>, CommandError> {
        let mut sources = sources::sources(self.questions.as_deref(), self.lang.as_deref())?;
        sources.extend(self.local_limits()?);
        Ok(sources)
    }

    /// The file of `--limits`, if there is one.
    pub(super) fn local_limits(&self) -> Result<Option<crate::flow::Source>, CommandError> {
        self.limits.as_deref().map(sources::local_limits).transpose()
    }

    /// Puts `--region` into the answers, if it was given.
    pub(super) fn set_region(&self, content: &Content, answers: &mut Answers) -> Result<(), CommandError> {
        let Some(region) = &self.region else { return Ok(()) };
        let number = content.catalog.names.at(QuestionId::Region);
        let question = &content.flow.questions[number];
        let Some(index) = question.choices.iter().position(|c| c.id == *region) else {
            let known = question.choices.iter().map(|c| c.id.clone()).collect();
            return Err(CommandError::Region { found: region.clone(), known });
        };
        answers.set(number, Answer::Choice(index));
        Ok(())
    }

    pub(super) fn units(&self, content: &Content, answers: &Answers) -> Units {
        let country = content.region(answers).map(|region| content.units_in(region));
        let given = || self.region.as_deref().map(|region| content.units_of(region));
        self.units.map(UnitsArg::units).or(country).or_else(given).unwrap_or_default()
    }

    pub(super) fn cover(&self, date: &str) -> Cover {
        Cover { date: date.to_owned(), lang: self.lang.clone().unwrap_or_else(|| "en".to_owned()) }
    }

    /// Whether the interview runs on plain lines.
    pub(super) fn plain_lines(&self) -> bool {
        self.plain_look() || !io::stdin().is_terminal() || !io::stderr().is_terminal()
    }

    /// Whether output avoids anything that a screen reader stumbles over.
    pub(super) fn plain_look(&self) -> bool {
        let accessible = std::env::var("ACCESSIBLE").is_ok_and(|v| !v.is_empty() && v != "0");
        self.plain || accessible || std::env::var("TERM").is_ok_and(|t| t == "dumb")
    }
}
