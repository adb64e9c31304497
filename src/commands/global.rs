//! The arguments that every subcommand takes, and what they choose together with the settings of the user.

use super::config::{Config, language_of_surroundings};
use super::error::CommandError;
use super::outside::note;
use super::sources;
use crate::content::Content;
use crate::flow::{Answer, Answers, one_line};
use crate::names::QuestionId;
use crate::sheet::{Cover, Letterhead};
use crate::units::Units;
use clap::{Args, ValueEnum};
use std::io::{self, IsTerminal};
use std::path::PathBuf;
use std::sync::OnceLock;

/// The heading above these options in the help of each command.
const HEADING: &str = "Options everywhere";

#[derive(Debug, Args)]
pub(super) struct Global {
    /// A folder of questions to lay over the built-in ones
    #[arg(long, value_name = "DIR", global = true, help_heading = HEADING, hide_short_help = true)]
    pub(super) questions: Option<PathBuf>,
    /// A file of limits for your town: its rows replace built-in ones of the same id, or come on top
    #[arg(long, value_name = "FILE", global = true, help_heading = HEADING, hide_short_help = true)]
    pub(super) limits: Option<PathBuf>,
    /// The region whose limits hold, such as us, canada or uk (overrides the visit)
    #[arg(long, value_name = "REGION", global = true, help_heading = HEADING)]
    pub(super) region: Option<String>,
    /// How lengths are shown and bare numbers are read (otherwise by region)
    #[arg(long, value_enum, global = true, help_heading = HEADING)]
    pub(super) units: Option<UnitsArg>,
    /// The language, such as es; otherwise that of your settings or surroundings, where wallfoot has it. `en` is English
    #[arg(long, value_name = "LANG", global = true, help_heading = HEADING)]
    pub(super) lang: Option<String>,
    /// Plain lines: no menus, no drawn tables, no bold
    #[arg(long, global = true, help_heading = HEADING)]
    pub(super) plain: bool,
    /// Show a long result at once, and not a screen at a time
    #[arg(long, global = true, help_heading = HEADING, hide_short_help = true)]
    pub(super) no_pager: bool,
    /// The file of your settings; otherwise the one that `WALLFOOT_CONFIG` names, or `wallfoot/config.yaml` in your folder of
    /// settings
    #[arg(long, value_name = "FILE", global = true, help_heading = HEADING, hide_short_help = true)]
    config: Option<PathBuf>,
    /// What was given on the command line, word by word.
    #[arg(skip)]
    given: Vec<String>,
    /// The settings of the user.
    #[arg(skip)]
    settings: Option<Config>,
    /// The head of the sheets, once it was made.
    #[arg(skip)]
    head: OnceLock<Option<Letterhead>>,
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

    fn of(units: Units) -> UnitsArg {
        match units {
            Units::Inch => UnitsArg::Inch,
            Units::Metric => UnitsArg::Metric,
        }
    }
}

impl Global {
    /// Reads the settings, and puts them where the command line says nothing. Last comes the language of the surroundings.
    ///
    /// # Errors
    /// When the settings cannot be used.
    pub(super) fn completed(&mut self) -> Result<&Global, CommandError> {
        self.given = self.words();
        self.settings = Config::find(self.config.as_deref())?;
        if let Some(settings) = &self.settings {
            self.units = self.units.or(settings.units.map(UnitsArg::of));
            self.lang = self.lang.take().or_else(|| settings.language.as_ref().map(|language| language.text.clone()));
        }
        if self.lang.is_none() {
            self.lang = language_of_surroundings().filter(|lang| self.has_language(lang));
        }
        // English is what there is without a translation
        self.lang = self.lang.take().filter(|lang| lang != "en");
        Ok(self)
    }

    /// The options that were given on the command line, as words to give again.
    pub(super) fn given(&self) -> &[String] {
        &self.given
    }

    fn words(&self) -> Vec<String> {
        let path = |path: &PathBuf| path.display().to_string();
        let units = self.units.and_then(|units| units.to_possible_value()).map(|value| value.get_name().to_owned());
        let valued = [
            ("--questions", self.questions.as_ref().map(path)),
            ("--limits", self.limits.as_ref().map(path)),
            ("--region", self.region.clone()),
            ("--units", units),
            ("--lang", self.lang.clone()),
            ("--config", self.config.as_ref().map(path)),
        ];
        let valued = valued.into_iter().filter_map(|(name, value)| Some([name.to_owned(), value?])).flatten();
        valued.chain(self.plain.then(|| "--plain".to_owned())).collect()
    }

    fn has_language(&self, lang: &str) -> bool {
        match &self.questions {
            None => sources::languages().any(|known| known == lang),
            Some(folder) => sources::sources(Some(folder), Some(lang)).is_ok(),
        }
    }

    pub(super) fn content(&self) -> Result<&'static mut Content, CommandError> {
        let content = self.loaded()?;
        if let (Some(settings), None) = (&self.settings, &self.region)
            && let Some(region) = &settings.region
        {
            let known = regions(content);
            if !known.contains(&region.text) {
                return Err(settings.unknown(region, "region", &known).into());
            }
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

    /// The content: as the build packed it, where nothing of a user's own comes in.
    fn loaded(&self) -> Result<&'static mut Content, CommandError> {
        let own = self.questions.is_some() || self.limits.is_some();
        if let Some(content) = (!own).then(|| sources::built_in(self.lang.as_deref())).flatten() {
            return Ok(Box::leak(Box::new(content)));
        }
        Ok(Content::load_for_good(&self.sources()?, self.lang.as_deref())?)
    }

    pub(super) fn sources(&self) -> Result<Vec<crate::flow::Source>, CommandError> {
        let sources = sources::sources(self.questions.as_deref(), self.lang.as_deref());
        let mut sources = sources.map_err(|error| self.by_settings(error))?;
        sources.extend(self.local_limits()?);
        Ok(sources)
    }

    /// A language that the settings name and that there is not is a mistake of the settings.
    fn by_settings(&self, error: CommandError) -> CommandError {
        let language = self.settings.as_ref().and_then(|settings| Some((settings, settings.language.as_ref()?)));
        match (error, language) {
            (CommandError::Language { found, mut known }, Some((settings, language)))
                if language.text == found && !self.given.iter().any(|word| word == "--lang") =>
            {
                known.insert(0, "en".to_owned());
                settings.unknown(language, "language", &known).into()
            }
            (error, _) => error,
        }
    }

    /// The file of `--limits`, if there is one.
    pub(super) fn local_limits(&self) -> Result<Option<crate::flow::Source>, CommandError> {
        self.limits.as_deref().map(sources::local_limits).transpose()
    }

    /// The price book of the settings.
    pub(super) fn price_book(&self) -> Option<PathBuf> {
        self.settings.as_ref().and_then(|settings| settings.prices.clone())
    }

    /// The head of the sheets; what is wrong with its logo is said once.
    pub(super) fn letterhead(&self, content: &Content) -> Option<Letterhead> {
        let made = || {
            let own = self.settings.as_ref()?.letterhead.as_ref()?;
            Some(super::images::letterhead(own, content))
        };
        self.head.get_or_init(made).clone()
    }

    /// The country that holds where a visit names none.
    pub(super) fn country(&self) -> Option<&str> {
        let setting = || self.settings.as_ref()?.region.as_ref().map(|region| region.text.as_str());
        self.region.as_deref().or_else(setting)
    }

    /// Puts `--region` into the answers, if it was given, and the country of the settings where they name none.
    pub(super) fn set_region(&self, content: &Content, answers: &mut Answers) -> Result<(), CommandError> {
        let number = content.catalog.names.at(QuestionId::Region);
        let region = self.region.as_deref().or_else(|| self.country().filter(|_| answers.get(number).is_none()));
        let Some(region) = region else { return Ok(()) };
        let Some(index) = regions(content).iter().position(|known| known == region) else {
            return Err(CommandError::Region { found: region.to_owned(), known: regions(content) });
        };
        answers.set(number, Answer::Choice(index));
        Ok(())
    }

    pub(super) fn units(&self, content: &Content, answers: &Answers) -> Units {
        let country = content.region(answers).map(|region| content.units_in(region));
        let given = || self.country().map(|region| content.units_of(region));
        self.units.map(UnitsArg::units).or(country).or_else(given).unwrap_or_default()
    }

    pub(super) fn cover(&self, date: &str) -> Cover {
        Cover { date: one_line(date).into_owned(), lang: self.lang.clone().unwrap_or_else(|| "en".to_owned()) }
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

/// The ids of all countries.
fn regions(content: &Content) -> Vec<String> {
    let question = &content.flow.questions[content.catalog.names.at(QuestionId::Region)];
    question.choices.iter().map(|choice| choice.id.to_string()).collect()
}
