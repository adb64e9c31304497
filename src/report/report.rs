//! The assessment for machines: every number that the sheets print, under stable names.
//!
//! The schema is described in `docs/json.md`. [`REPORT_SCHEMA`] goes up whenever a field changes its
//! meaning or goes away; new fields may come without that.

use super::answer::AnswerJson;
use super::heights::HeightsJson;
use super::notes::{ContractorJson, JointTaskJson, OutcomeJson, WhyJson};
use super::number::{Citation, Number, length, slope, source};
use super::water::WaterJson;
use crate::content::Sheet;
use crate::flow::{Answer, Kind, Slot, Value};
use crate::judge::{Assessment, Lowering, middle};
use crate::units::{Length, Slope};
use crate::wall::{Sense, Status};
use serde::Serialize;
use std::collections::BTreeMap;

/// Version of the JSON schema.
pub const REPORT_SCHEMA: u32 = 1;

/// The whole report.
#[derive(Debug, Serialize)]
pub struct Report {
    #[serde(rename = "wallfoot_report")]
    schema: u32,
    verdict: SaidVerdict,
    certain: &'static str,
    possible: &'static str,
    answer: AnswerJson,
    why: WhyJson,
    answers: BTreeMap<String, Answered>,
    not_sure: Vec<String>,
    facts: BTreeMap<String, Number>,
    heights: HeightsJson,
    limits: Vec<LimitRow>,
    findings: Vec<FindingRow>,
    lowering: Option<LoweringRow>,
    ways: Vec<WayRow>,
    steps: Option<StepsRow>,
    water: WaterJson,
    openings: Vec<OpeningJson>,
    digging: Option<DiggingRow>,
    find_out: Vec<OpenRow>,
    look_into: Vec<String>,
    tasks: Vec<TaskRow>,
    contractor: Vec<AskRow>,
    contractors: BTreeMap<String, ContractorJson>,
    joint_tasks: Vec<JointTaskJson>,
    trades: Vec<CallRow>,
    materials: Vec<TextRow>,
    cautions: Vec<TextRow>,
}

#[derive(Debug, Serialize)]
struct SaidVerdict {
    id: &'static str,
    text: String,
}

/// An answer: as the user reads it, and exact.
#[derive(Debug, Serialize)]
struct Answered {
    text: String,
    #[serde(flatten)]
    number: Number,
}

#[derive(Debug, Serialize)]
struct LimitRow {
    id: String,
    what: String,
    status: &'static str,
    sense: &'static str,
    bound: Number,
    measured: Option<Number>,
    short_by: Option<Number>,
    worst_at: Option<Number>,
    short_over: Option<Number>,
    can_fail_a_plan: bool,
    #[serde(flatten)]
    source: Citation,
}

#[derive(Debug, Serialize)]
struct FindingRow {
    id: String,
    verdict: Option<&'static str>,
    danger: bool,
    title: String,
    say: String,
    r#do: String,
    #[serde(flatten)]
    source: Citation,
}

#[derive(Debug, Serialize)]
struct LoweringRow {
    by: Number,
    sure: Number,
    governed_by: String,
    finish_below_mark: Option<Number>,
    at_ends: Option<[Number; 2]>,
    step_at_door: Option<Number>,
    step_breaks: Option<String>,
    /// Where nothing has to be lowered: between which heights the surface may lie.
    keep: Option<KeepRow>,
}

#[derive(Debug, Serialize)]
struct KeepRow {
    highest_below_mark: Number,
    lowest_below_mark: Option<Number>,
}

#[derive(Debug, Serialize)]
struct WayRow {
    id: &'static str,
    figure: Number,
    takes: String,
    costs: String,
}

#[derive(Debug, Serialize)]
struct StepsRow {
    rise: Number,
    from: &'static str,
    to: &'static str,
    risers: Option<i64>,
    riser: Option<Number>,
    treads: Option<i64>,
    tread: Option<Number>,
    tread_given: bool,
    run: Option<Number>,
    handrail: Option<bool>,
    guard: Option<bool>,
    slabs: Option<SlabRow>,
    #[serde(flatten)]
    source: Citation,
}

#[derive(Debug, Serialize)]
struct SlabRow {
    count: i64,
    thickness: Option<Number>,
    left_over: Number,
    odd_riser: Number,
    within_spread: bool,
    even_thickness: Number,
    bedding_each: Option<Number>,
    raise_ground: Number,
}

#[derive(Debug, Serialize)]
struct OpeningJson {
    kind: &'static str,
    from: Option<Number>,
    to: Option<Number>,
    below_mark: Option<Number>,
    above_finish: Option<[Number; 2]>,
    above_finish_if_lowered: Option<[Number; 2]>,
    step_most: Option<Number>,
    risers: Option<i64>,
    riser: Option<Number>,
}

#[derive(Debug, Serialize)]
struct DiggingRow {
    layers: Vec<LayerRow>,
    together: Number,
    below_mark: Option<Number>,
    at_wall: Option<Number>,
    drop_at_edge: Option<Number>,
    below_ground_at_edge: Option<Number>,
    footing_below_ground: Option<Number>,
    deeper_if_lowered: Number,
    square_feet: Option<f64>,
    square_metres: Option<f64>,
    cubic_yards: Option<f64>,
    cubic_metres: Option<f64>,
}

#[derive(Debug, Serialize)]
struct LayerRow {
    id: String,
    what: String,
    thickness: Number,
    certain: bool,
    #[serde(flatten)]
    source: Citation,
}

#[derive(Debug, Serialize)]
struct OpenRow {
    question: String,
    measure_again: bool,
    worst: &'static str,
    findings: Vec<String>,
    limits: Vec<String>,
    minutes: i64,
    with: String,
    who: String,
    /// The verdict for each stretch of answers, for the first seven.
    outcomes: Vec<OutcomeJson>,
}

#[derive(Debug, Serialize)]
struct TaskRow {
    id: String,
    phase: String,
    who: &'static str,
    r#do: String,
    because: String,
    hold: bool,
    sheets: Vec<&'static str>,
}

#[derive(Debug, Serialize)]
struct AskRow {
    id: String,
    weight: i64,
    ask: String,
    why: String,
    good: Vec<String>,
    weak: Vec<String>,
    follow_up: String,
}

#[derive(Debug, Serialize)]
struct CallRow {
    id: String,
    trade: String,
    point: String,
    say: String,
    because: String,
}

#[derive(Debug, Serialize)]
struct TextRow {
    id: String,
    text: String,
    #[serde(flatten)]
    source: Citation,
}

impl Assessment<'_> {
    /// The report for machines.
    #[must_use]
    pub fn report(&self) -> Report {
        let content = self.content;
        let (answers, not_sure) = self.answer_rows();
        Report {
            schema: REPORT_SCHEMA,
            verdict: SaidVerdict {
                id: self.settled.verdict.word(),
                text: content.word(&format!("verdict.{}", self.settled.verdict.word())).to_owned(),
            },
            certain: self.settled.certain.word(),
            possible: self.settled.possible.word(),
            answer: self.answer_json(),
            why: self.why_json(),
            answers,
            not_sure,
            facts: self.fact_rows(),
            heights: self.heights_json(),
            limits: self.limits().into_iter().map(|(l, c)| self.limit_row(l, c)).collect(),
            findings: self.held().map(|f| self.finding_row(f)).collect(),
            lowering: self.lowering.map(|l| LoweringRow {
                by: length(l.by),
                sure: length(l.sure),
                governed_by: content.limits[l.limit].id.to_string(),
                finish_below_mark: l.highest.map(length),
                at_ends: l.ends.map(|(left, right)| [length(left), length(right)]),
                step_at_door: l.step.map(length),
                step_breaks: l.step_breaks.map(|i| content.limits[i].id.to_string()),
                keep: self.keep_row(l),
            }),
            ways: self
                .ways()
                .into_iter()
                .map(|w| WayRow {
                    id: w.kind.word(),
                    figure: length(w.figure),
                    takes: self.way_takes(&w),
                    costs: self.way_costs(&w),
                })
                .collect(),
            steps: self.steps().map(|s| steps_row(&s)),
            water: super::water::water(self),
            openings: self.openings().iter().map(opening_json).collect(),
            digging: self.digging().map(|d| DiggingRow {
                layers: d
                    .layers
                    .iter()
                    .map(|laid| LayerRow {
                        id: laid.layer.id.to_string(),
                        what: laid.layer.what.to_string(),
                        thickness: length(laid.layer.thickness),
                        certain: laid.certain,
                        source: source(&laid.layer.origin),
                    })
                    .collect(),
                together: length(d.together),
                below_mark: d.below_mark.map(length),
                at_wall: d.at_wall.map(length),
                drop_at_edge: d.drop_at_edge.map(length),
                below_ground_at_edge: d.at_edge.map(length),
                footing_below_ground: self.site.footing.map(length),
                deeper_if_lowered: length(d.deeper),
                square_feet: d.area.map(crate::units::Area::as_square_feet),
                square_metres: d.area.map(crate::units::Area::as_square_metres),
                cubic_yards: d.area.map(|area| area.by(d.together).as_cubic_yards()),
                cubic_metres: d.area.map(|area| area.by(d.together).as_cubic_metres()),
            }),
            find_out: self.open_rows(),
            look_into: self.to_look_into().map(|f| f.id.to_string()).collect(),
            tasks: self.tasks(None).map(|t| self.task_row(t)).collect(),
            contractors: self.contractors_json(),
            joint_tasks: self.joint_json(),
            contractor: self.asks().map(|a| self.ask_row(a)).collect(),
            trades: self.calls().map(|c| self.call_row(c)).collect(),
            materials: self
                .materials(None)
                .map(|m| TextRow {
                    id: m.id.to_string(),
                    text: format!("{}: {}", self.fill(&m.what), self.fill(&m.limit)),
                    source: source(&m.origin),
                })
                .collect(),
            cautions: self
                .cautions(None)
                .map(|c| TextRow { id: c.id.to_string(), text: self.fill(&c.say), source: source(&c.origin) })
                .collect(),
        }
    }

    /// Only where the surface may stay as it is.
    fn keep_row(&self, lowering: Lowering) -> Option<KeepRow> {
        let stays = lowering.by == Length::ZERO && lowering.sure <= Length::ZERO && lowering.exit_known;
        let highest = lowering.highest.filter(|_| stays).and_then(|solved| self.highest_that_holds(solved))?;
        let lowest = lowering.lowest.filter(|lowest| *lowest >= highest);
        Some(KeepRow { highest_below_mark: length(highest), lowest_below_mark: lowest.map(length) })
    }

    fn answer_rows(&self) -> (BTreeMap<String, Answered>, Vec<String>) {
        let (mut answers, mut not_sure) = (BTreeMap::new(), Vec::new());
        for (number, question) in self.content.flow.questions.iter().enumerate() {
            if !self.state.shown[number].is_yes() {
                continue;
            }
            match self.answers.get(number) {
                None => {}
                Some(Answer::NotSure) => not_sure.push(question.id.to_string()),
                Some(_) => {
                    let slot = Slot::try_from(number).unwrap_or(Slot::MAX);
                    let text = self.value_in_words(slot).unwrap_or_default();
                    let number = self.number(slot, self.values[number]).unwrap_or_default();
                    answers.insert(question.id.to_string(), Answered { text, number });
                }
            }
        }
        (answers, not_sure)
    }

    fn fact_rows(&self) -> BTreeMap<String, Number> {
        let slots = self.content.slots;
        let known = |slot: usize| {
            let value = self.values[slot];
            let slot = Slot::try_from(slot).ok()?;
            Some((self.content.vocabulary.name(slot).text.to_string(), self.number(slot, value)?))
        };
        (slots.facts..slots.limits).chain(slots.after..self.values.len()).filter_map(known).collect()
    }

    fn finding_row(&self, finding: &crate::content::Finding) -> FindingRow {
        FindingRow {
            id: finding.id.to_string(),
            verdict: finding.verdict.map(crate::content::Verdict::word),
            danger: finding.danger,
            title: self.fill(&finding.title),
            say: self.fill(&finding.say),
            r#do: self.fill(&finding.todo),
            source: source(&finding.origin),
        }
    }

    fn task_row(&self, task: &crate::content::Task) -> TaskRow {
        TaskRow {
            id: task.id.to_string(),
            phase: self.content.phases[task.phase].id.to_string(),
            who: task.who.word(),
            r#do: self.fill(&task.todo),
            because: self.fill(&task.because),
            hold: task.hold,
            sheets: task.sheets.iter().map(|s| sheet_word(*s)).collect(),
        }
    }

    fn ask_row(&self, ask: &crate::content::Ask) -> AskRow {
        AskRow {
            id: ask.id.to_string(),
            weight: ask.weight,
            ask: self.fill(&ask.ask),
            why: self.fill(&ask.why),
            good: ask.good.iter().map(|t| self.fill(t)).collect(),
            weak: ask.weak.iter().map(|t| self.fill(t)).collect(),
            follow_up: self.fill(&ask.follow_up),
        }
    }

    fn call_row(&self, call: &crate::content::Call) -> CallRow {
        CallRow {
            id: call.id.to_string(),
            trade: call.trade.to_owned(),
            point: self.fill(&call.point),
            say: self.fill(&call.say),
            because: self.fill(&call.because),
        }
    }

    fn limit_row(&self, limit: &crate::content::Limit, clearance: crate::judge::Clearance) -> LimitRow {
        LimitRow {
            id: limit.id.to_string(),
            what: limit.what.to_string(),
            status: match clearance.status {
                Status::Passes => "passes",
                Status::Close => "close",
                Status::Fails => "fails",
                Status::Unknown => "unknown",
                Status::Off => "off",
            },
            sense: if limit.sense == Sense::AtLeast { "at_least" } else { "at_most" },
            bound: self.number(limit.measure, Value::Is(limit.bound)).unwrap_or_default(),
            measured: self.number(limit.measure, self.values[limit.measure as usize]),
            short_by: clearance.short_by.and_then(|s| self.number(limit.measure, Value::Is(s))),
            worst_at: clearance.along.map(|a| length(a.at)),
            short_over: clearance.along.map(|a| length(a.short_over)),
            can_fail_a_plan: limit.verdict.is_some(),
            source: source(&limit.origin),
        }
    }

    fn open_rows(&self) -> Vec<OpenRow> {
        let listed = self.to_find_out();
        let hangs = |q: usize| listed.iter().find(|l| l.question == q).and_then(|l| l.hangs.as_ref());
        self.open.iter().map(|p| self.open_row(p, hangs(p.question))).collect()
    }

    fn open_row(&self, point: &crate::judge::OpenPoint, hangs: Option<&crate::judge::Decisive>) -> OpenRow {
        let question = &self.content.flow.questions[point.question];
        OpenRow {
            question: question.id.to_string(),
            measure_again: point.again,
            worst: point.worst.word(),
            findings: point.findings.iter().map(|i| self.content.findings[*i].id.to_string()).collect(),
            limits: point.limits.iter().map(|i| self.content.limits[*i].id.to_string()).collect(),
            minutes: question.effort.minutes,
            with: question.effort.with.to_string(),
            who: question.effort.who.to_string(),
            outcomes: hangs.map_or_else(Vec::new, |d| self.outcomes_json(d)),
        }
    }

    /// A value as numbers; nothing if it is not known.
    fn number(&self, slot: Slot, value: Value) -> Option<Number> {
        let kind = &self.content.vocabulary.name(slot).kind;
        let mid = middle(value)?;
        #[allow(clippy::cast_precision_loss)] // thousandths and years are far below 2^53
        let plain = |n: i64, per: f64| Some(n as f64 / per);
        Some(match kind {
            Kind::Length => {
                let spread = match value {
                    Value::Between(low, high) => Some(Length::from_steps((high - low) / 2).as_mm()),
                    _ => None,
                };
                Number { tolerance_mm: spread, ..length(Length::from_steps(mid)) }
            }
            Kind::Slope => slope(Slope::from_parts(mid)),
            Kind::Number => Number { plain: plain(mid, 1000.0), ..Number::default() },
            Kind::Year => Number { plain: plain(mid, 1.0), ..Number::default() },
            Kind::YesNo => Number { yes: Some(mid == 2), ..Number::default() },
            Kind::OneOf(ids) => {
                let id = ids.get(usize::try_from(mid.trailing_zeros()).ok()?)?;
                Number { choice: Some(id.to_string()), ..Number::default() }
            }
            Kind::SeveralOf(ids) => {
                let chosen = ids.iter().enumerate().filter(|(i, _)| mid & (1 << i) != 0).map(|(_, id)| id.to_string());
                Number { choices: Some(chosen.collect()), ..Number::default() }
            }
            Kind::Text => Number::default(),
        })
    }
}

fn opening_json(row: &crate::judge::OpeningRow) -> OpeningJson {
    let over = |o: crate::site::Over| [length(o.least), length(o.most)];
    let placed = |l: Length| row.placed.then(|| length(l));
    OpeningJson {
        kind: crate::say::opening_word(row.opening.kind).trim_start_matches("opening."),
        from: placed(row.opening.from),
        to: placed(row.opening.to),
        below_mark: row.opening.below.map(length),
        above_finish: row.over.map(over),
        above_finish_if_lowered: row.over_then.map(over),
        step_most: row.step_most.map(length),
        risers: row.flight.map(|f| f.risers),
        riser: row.flight.map(|f| length(f.riser)),
    }
}

fn steps_row(steps: &crate::judge::Steps<'_>) -> StepsRow {
    let plan = steps.plan;
    StepsRow {
        rise: length(steps.rise),
        from: if steps.climb == crate::judge::Climb::FromSurface { "surface" } else { "ground" },
        to: if matches!(steps.climb, crate::judge::Climb::ToFinish { .. }) { "surface" } else { "threshold" },
        risers: plan.map(|p| p.flight.risers),
        riser: plan.map(|p| length(p.flight.riser)),
        treads: plan.map(|p| p.flight.treads()),
        tread: plan.map(|p| length(p.tread)),
        tread_given: steps.tread_given,
        run: plan.map(|p| length(p.run)),
        handrail: plan.map(|p| p.handrail),
        guard: plan.map(|p| p.guard),
        slabs: steps.slabs.map(|s| SlabRow {
            count: s.slabs,
            thickness: steps.thickness.map(length),
            left_over: length(s.left_over),
            odd_riser: length(s.odd_riser),
            within_spread: s.even,
            even_thickness: length(s.even_thickness),
            bedding_each: s.bedding.map(length),
            raise_ground: length(s.raise_ground),
        }),
        source: source(&steps.rules.origin),
    }
}

fn sheet_word(sheet: Sheet) -> &'static str {
    match sheet {
        Sheet::Homeowner => "homeowner",
        Sheet::Landscaper => "landscaper",
        Sheet::Exterior => "exterior",
    }
}
