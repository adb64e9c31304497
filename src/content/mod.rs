//! Content: what stands in `questions/`, loaded and checked.

mod after;
mod amount_rows;
mod asking_rows;
mod basis;
mod catalog;
#[allow(clippy::module_inception)] // the content itself, beside its parts
mod content;
mod coverage;
mod era_rows;
mod files;
mod gather;
mod joint_rows;
mod lap_rows;
mod load;
mod looks;
mod own;
mod plan_words;
mod promise_rows;
mod quick;
mod resting;
mod rows;
mod sort;
mod task_rows;
mod texts;
mod verdict;
mod wall_rows;
mod water_rows;
pub mod words;
mod work_rows;
mod works;

pub use after::{AFTER_LIMITS, AfterId, AfterLimits};
pub use amount_rows::{
    FORMS, FROM_VISIT, Figure, FigureValue, Form, Formula, FromVisit, Input, QuantityRow, Uncounted,
};
pub use asking_rows::Asking;
pub use basis::Basis;
pub use content::{Content, LIMIT_STATES, Slots};
pub use coverage::Rule;
pub use era_rows::Era;
pub use files::{counts_for, language_of};
pub use joint_rows::{JointTask, Photo};
pub use lap_rows::{LapRow, Laps, Reversed};
pub(crate) use looks::Anew;
pub use looks::Looks;
pub use own::{OwnError, Senseless};
pub use promise_rows::{Promise, TOLD, VERDICT_NAME};
pub use quick::Quick;
pub use rows::{Ask, Call, Caution, Defined, Finding, Guard, Limit, Material, Origin, Phase, Sheet, Who};
pub use task_rows::Task;
pub use verdict::Verdict;
pub use wall_rows::{CoursingRow, Layer, Stairs};
pub use water_rows::{Evidence, LoadDefault, Remark, RoughnessRow, RunoffRow, Suspect, UsualFigure, UsualRow};
pub use work_rows::{ActivityRow, Per, RepairLater, WallWork, WeatherNeed};
pub use works::{HowRead, Resting, Work};
