//! Heights in the report for machines: of every level, along the wall, in courses of brick.

use super::number::{Number, length};
use crate::judge::Assessment;
use crate::say::LEVELS;
use crate::units::{Elevation, Length};
use crate::wall::Level;
use serde::Serialize;

#[derive(Debug, Serialize)]
pub(crate) struct HeightsJson {
    /// The level that the others are told from.
    reference: &'static str,
    levels: Vec<LevelJson>,
    /// How far off one reading may be either way.
    per_reading: Number,
    along: Option<AlongJson>,
    courses: Option<CoursesJson>,
}

#[derive(Debug, Serialize)]
struct LevelJson {
    id: &'static str,
    name: String,
    /// Above the reference; negative is below.
    up: Number,
    /// How far off that may be; zero for what is planned.
    tolerance: Number,
    derived: bool,
}

#[derive(Debug, Serialize)]
struct AlongJson {
    length: Number,
    lines: Vec<LineJson>,
}

#[derive(Debug, Serialize)]
struct LineJson {
    id: &'static str,
    points: Vec<PointJson>,
}

#[derive(Debug, Serialize)]
struct PointJson {
    /// From the left end.
    at: Number,
    /// Negative is above.
    below_mark: Number,
}

#[derive(Debug, Serialize)]
struct CoursesJson {
    bound: Number,
    rows: Vec<CourseJson>,
}

#[derive(Debug, Serialize)]
struct CourseJson {
    what: String,
    /// So many courses with their joints...
    courses: i64,
    /// ... are so high.
    height: Number,
    /// So many courses reach the bound.
    needed: i64,
}

impl Assessment<'_> {
    pub(crate) fn heights_json(&self) -> HeightsJson {
        let reference = self.reference();
        let known = LEVELS.into_iter().filter(|level| *level == reference || self.site.levels.has(*level));
        let levels = known.filter_map(|level| {
            let height = self.site.levels.above(level, reference)?;
            Some(LevelJson {
                id: level_id(level),
                name: self.level_name(level),
                up: length(height.up),
                tolerance: length(height.tolerance(self.content.per_reading)),
                derived: height.is_derived(),
            })
        });
        HeightsJson {
            reference: level_id(reference),
            levels: levels.collect(),
            per_reading: length(self.content.per_reading),
            along: self.site.length.filter(|_| self.site.slopes()).map(|length| self.along_json(length)),
            courses: self.courses().map(|found| CoursesJson {
                bound: length(found.bound),
                rows: found
                    .rows
                    .into_iter()
                    .map(|(row, needed)| CourseJson {
                        what: row.what.to_string(),
                        courses: row.gauge.courses(),
                        height: length(row.gauge.height()),
                        needed,
                    })
                    .collect(),
            }),
        }
    }

    /// Every line at every place where one of them bends, and at both ends.
    fn along_json(&self, run: Length) -> AlongJson {
        let lines: Vec<_> = [Level::Exit, Level::Finish, Level::Ground]
            .into_iter()
            .filter_map(|level| Some((level, self.site.line(level)?)))
            .collect();
        let mut places: Vec<Length> = lines.iter().flat_map(|(_, line)| line.offsets()).collect();
        places.extend([Length::ZERO, run]);
        places.retain(|at| (Length::ZERO..=run).contains(at));
        places.sort_unstable();
        places.dedup();
        AlongJson {
            length: length(run),
            lines: lines
                .iter()
                .map(|(level, line)| LineJson {
                    id: level_id(*level),
                    points: places
                        .iter()
                        .map(|at| PointJson {
                            at: length(*at),
                            below_mark: length(Elevation::MARK.above(line.at(*at))),
                        })
                        .collect(),
                })
                .collect(),
        }
    }
}

fn level_id(level: Level) -> &'static str {
    match level {
        Level::Mark => "mark",
        Level::Exit => "exit",
        Level::Finish => "finish",
        Level::OldSurface => "old_surface",
        Level::Wood => "wood",
        Level::Ground => "ground",
    }
}
