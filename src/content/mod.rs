//! Content: what stands in `questions/`, loaded and checked.

mod amount_rows;
mod joint_rows;
mod load;
mod own;
mod plan_words;
mod rows;
mod texts;
mod verdict;
mod wall_rows;
mod water_rows;
pub mod words;
mod work_rows;

pub use amount_rows::{
    FIGURES, FORMS, FROM_VISIT, Figure, FigureValue, Form, Formula, FromVisit, Input, QuantityRow, Uncounted,
};
pub use joint_rows::{JointTask, Photo};
pub use load::{AFTER_LIMITS, Content, LIMIT_STATES, Slots};
pub use rows::{Ask, Basis, Call, Caution, Defined, Finding, Limit, Material, Origin, Phase, Sheet, Task, Who};
pub use verdict::Verdict;
pub use wall_rows::{CoursingRow, Layer, Stairs};
pub use water_rows::{Evidence, LoadDefault, Remark, RoughnessRow, RunoffRow, Suspect, UsualFigure, UsualRow};
pub use work_rows::{ActivityRow, Per, WallWork, WeatherNeed};
