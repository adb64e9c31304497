//! A visit and all that follows from it on one page of plain text: ids and figures, no sentences.
//!
//! The pages are for people who review a change of the content or of the program: what is said, and what it rests
//! on. How it is put into words is seen on the sheets of three scenarios.

use std::collections::BTreeMap;
use std::fmt::Write;
use wallfoot::content::{LIMIT_STATES, Limit, Sheet, Task, Verdict};
use wallfoot::judge::{Assessment, Clearance, Lowering, Way, WayKind};
use wallfoot::units::{Length, Units};
use wallfoot::wall::{Sense, Status};

/// The columns that a page takes at most.
const WIDTH: usize = 110;
/// How far everything below a heading is set in.
const INDENT: &str = "  ";

/// The page of a visit.
pub(crate) fn page(name: &str, assessment: &Assessment<'_>) -> String {
    let mut page = Page::default();
    page.line(&format!("{name}: {}", about(assessment)));
    verdict(&mut page, assessment);
    page.part("Findings that hold", |page| findings(page, assessment));
    page.part("Limits that apply (rule, measured, status, by how much, what a miss means)", |page| {
        limits(page, assessment);
    });
    page.part("Water (start, worst end, where it goes wrong, best end)", |page| water(page, assessment));
    page.part("Way out", |page| way_out(page, assessment));
    page.part("Open points (question, worst that hangs on it, how many findings + limits)", |page| {
        open_points(page, assessment);
    });
    page.part("Tasks (! is a hold point) by sheet: homeowner, landscaper, exterior", |page| tasks(page, assessment));
    page.part("Told besides", |page| told_besides(page, assessment));
    let days = days(assessment);
    page.part(&format!("Plan, {days} (! is a hold point, * cannot wait)"), |page| plan(page, assessment));
    page.part("Quantities, digging", |page| material(page, assessment));
    page.0
}

/// A word for a verdict, also where there is none.
fn verdict_word(verdict: Option<Verdict>) -> &'static str {
    verdict.map_or("-", Verdict::word)
}

/// A limit and how it stands, for a row of a table: id, rule, measured, status, by how much, what a miss means.
fn limit_row(assessment: &Assessment<'_>, limit: &Limit, clearance: Clearance) -> Vec<String> {
    let show = |n: i64| assessment.show(limit.measure, n);
    let rule = match limit.sense {
        Sense::AtLeast => ">=",
        Sense::AtMost => "<=",
    };
    let margin = match clearance.short_by {
        None => String::new(),
        Some(short) if short > 0 => format!("{} short", show(short)),
        Some(short) => format!("{} spare", show(-short)),
    };
    let along = clearance.along.map_or_else(String::new, |along| {
        let (at, over) = (along.at.show(assessment.units), along.short_over.show(assessment.units));
        format!("worst at {at}, short over {over}")
    });
    vec![
        limit.id.to_string(),
        format!("{rule} {}", show(limit.bound)),
        clearance.measured.map_or_else(|| "?".to_owned(), show),
        LIMIT_STATES[clearance.status as usize].to_owned(),
        margin,
        verdict_word(limit.verdict).to_owned(),
        along,
    ]
}

/// A visit in a few lines: what is said, and by what.
pub(crate) fn short(name: &str, assessment: &Assessment<'_>) -> String {
    let mut page = Page::default();
    page.line(&format!("{name}: {}", about(assessment)));
    let settled = assessment.settled;
    let verdicts = [("said", settled.verdict), ("certain", settled.certain), ("possible", settled.possible)];
    page.list("verdict", &verdicts.map(|(how, verdict)| format!("{} is {how}", verdict.word())));
    let mut last = None;
    let held = assessment.held().filter_map(|finding| Some((finding.verdict?, &finding.id)));
    let held = held.map(|(verdict, id)| {
        // the verdict stands before the first of its findings
        let lead = if last.replace(verdict) == Some(verdict) { "" } else { verdict.word() };
        format!("{lead} {id}").trim_start().to_owned()
    });
    page.list("findings", &held.collect::<Vec<_>>());
    let not_met = assessment.limits().into_iter().filter(|(limit, clearance)| {
        limit.verdict.is_some() && matches!(clearance.status, Status::Fails | Status::Close | Status::Unknown)
    });
    let not_met = not_met.map(|(limit, clearance)| {
        let [id, _, _, status, margin, ..] = &limit_row(assessment, limit, clearance)[..] else { unreachable!() };
        format!("{id} {status} {margin}").trim_end().to_owned()
    });
    page.list("limits", &not_met.collect::<Vec<_>>());
    let ways = assessment.water_ways();
    page.list("water", &ways.iter().map(|w| format!("{} {}", w.start.word(), w.path.end.word())).collect::<Vec<_>>());
    page.list("trades", &assessment.calls().map(|call| call.id.to_string()).collect::<Vec<_>>());
    page.0
}

/// Text that grows by headings, lines and tables.
#[derive(Default)]
struct Page(String);

impl Page {
    fn line(&mut self, line: &str) {
        let _ = writeln!(self.0, "{}", line.trim_end());
    }

    /// A heading, and what `fill` puts below it; nothing is said to be nothing.
    fn part(&mut self, heading: &str, fill: impl FnOnce(&mut Page)) {
        let mut below = Page::default();
        fill(&mut below);
        self.line("");
        if below.0.is_empty() {
            self.line(&format!("{heading}: none"));
        } else {
            self.line(heading);
            self.0.push_str(&below.0);
        }
    }

    /// Rows with their columns below each other.
    fn table(&mut self, rows: &[Vec<String>]) {
        let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
        let wide = |column: usize| {
            rows.iter().filter_map(|row| row.get(column)).map(|cell| cell.chars().count()).max().unwrap_or(0)
        };
        let widths: Vec<usize> = (0..columns).map(wide).collect();
        for row in rows {
            let cells: Vec<String> =
                row.iter().zip(&widths).filter(|(_, w)| **w > 0).map(|(cell, w)| format!("{cell:<w$}")).collect();
            self.line(&format!("{INDENT}{}", cells.join("  ")));
        }
    }

    /// Words after a label, in as many lines as they take.
    fn list(&mut self, label: &str, words: &[String]) {
        if words.is_empty() {
            return;
        }
        let first = format!("{INDENT}{label:<12} ");
        let next = " ".repeat(first.chars().count());
        let options = textwrap::Options::new(WIDTH).initial_indent(&first).subsequent_indent(&next);
        let options = options.word_splitter(textwrap::WordSplitter::NoHyphenation).break_words(false);
        // a line ends between two words of the list, not within one
        let whole: Vec<String> = words.iter().map(|word| word.replace(' ', "\u{a0}")).collect();
        for line in textwrap::wrap(&whole.join(", "), options) {
            self.line(&line.replace('\u{a0}', " "));
        }
    }
}

fn cells<const N: usize>(cells: [&str; N]) -> Vec<String> {
    cells.map(str::to_owned).to_vec()
}

/// What is built against what: the ids of the answers.
fn about(assessment: &Assessment<'_>) -> String {
    let said = |id: &str| {
        let question = assessment.content.flow.question(id).filter(|q| assessment.state.shown[*q].is_yes());
        let choice = question.and_then(|q| match assessment.answers.get(q)? {
            wallfoot::flow::Answer::Choice(i) => {
                Some(assessment.content.flow.questions[q].choices.get(*i)?.id.as_str())
            }
            _ => None,
        });
        choice.unwrap_or("?").to_owned()
    };
    let units = if assessment.units == Units::Inch { "inches" } else { "millimetres" };
    let shown = assessment.state.shown.iter().filter(|truth| truth.is_yes()).count();
    let what = ["region", "stage", "feature", "cladding"].map(said).join(", ");
    format!("{what}, {units}, {shown} questions shown")
}

fn verdict(page: &mut Page, assessment: &Assessment<'_>) {
    let settled = assessment.settled;
    let (said, certain, possible) = (settled.verdict.word(), settled.certain.word(), settled.possible.word());
    page.line(&format!("Verdict: {said} is said, {certain} is certain, {possible} is possible"));
}

fn findings(page: &mut Page, assessment: &Assessment<'_>) {
    let held: Vec<_> = assessment.held().collect();
    let rows: Vec<Vec<String>> = held
        .iter()
        .filter(|finding| finding.verdict.is_some())
        .map(|finding| cells([verdict_word(finding.verdict), &finding.id]))
        .collect();
    page.table(&rows);
    let plain = held.iter().filter(|finding| finding.verdict.is_none()).map(|finding| finding.id.to_string());
    page.list("no verdict", &plain.collect::<Vec<_>>());
    let open = assessment.content.findings.iter().zip(&assessment.findings);
    let open = open.filter(|(finding, truth)| finding.verdict.is_some() && **truth == wallfoot::flow::Truth::Unknown);
    page.list("may hold", &open.map(|(finding, _)| finding.id.to_string()).collect::<Vec<_>>());
}

fn limits(page: &mut Page, assessment: &Assessment<'_>) {
    let rows: Vec<Vec<String>> =
        assessment.limits().into_iter().map(|(limit, clearance)| limit_row(assessment, limit, clearance)).collect();
    page.table(&rows);
    let all = assessment.content.limits.iter().zip(&assessment.clearances);
    let maybe = all.filter(|(_, clearance)| clearance.applies == wallfoot::flow::Truth::Unknown);
    page.list("may apply", &maybe.map(|(limit, _)| limit.id.to_string()).collect::<Vec<_>>());
}

fn water(page: &mut Page, assessment: &Assessment<'_>) {
    let ways = assessment.water_ways();
    let rows = ways.iter().map(|way| {
        let wrong = way.wrong.and_then(|step| way.path.steps.get(step));
        let wrong = wrong.map_or_else(String::new, |step| format!("wrong on {:?}", step.on));
        let best = way.at_best.map_or_else(String::new, |end| format!("at best {}", end.word()));
        vec![way.start.word().to_owned(), way.path.end.word().to_owned(), wrong, best]
    });
    page.table(&rows.collect::<Vec<_>>());
    if let Some(after) = assessment.after_work() {
        let how = match after.opened {
            Some(clear) => format!("wall opened, {} clear", clear.show(assessment.units)),
            None => format!("surface lowered by {}", after.lowered.show(assessment.units)),
        };
        let ends = if after.all_outside() { "all ends outside" } else { "NOT all ends outside" };
        page.list("after work", &[how, ends.to_owned()]);
    }
    let suspects = assessment.suspects();
    page.list("suspects", &suspects.iter().map(|s| format!("{} {}", s.row.id, s.score)).collect::<Vec<_>>());
}

fn way_out(page: &mut Page, assessment: &Assessment<'_>) {
    if let Some(lowering) = assessment.lowering {
        page.list("lowering", &lowering_words(assessment, lowering));
    }
    for way in assessment.ways() {
        page.list(way.kind.word(), &way_words(assessment, way));
    }
}

fn lowering_words(assessment: &Assessment<'_>, lowering: Lowering) -> Vec<String> {
    let show = |length: Length| length.show(assessment.units);
    let id = |limit: usize| &assessment.content.limits[limit].id;
    let mut words = vec![
        format!("by {} on paper", show(lowering.by)),
        format!("{} to be sure", show(lowering.sure)),
        format!("{} governs", id(lowering.limit)),
    ];
    words.extend(lowering.highest.map(|highest| format!("highest finish {} below the mark", show(highest))));
    words.extend(lowering.ends.map(|(left, right)| format!("{} left and {} right", show(left), show(right))));
    words.extend(lowering.step.map(|step| format!("step then {}", show(step))));
    words.extend(lowering.step_breaks.map(|limit| format!("which breaks {}", id(limit))));
    words.extend(lowering.lowest.map(|lowest| format!("lowest finish {} below the mark", show(lowest))));
    if !lowering.exit_known {
        words.push("exit not known".to_owned());
    }
    words
}

fn way_words(assessment: &Assessment<'_>, way: Way) -> Vec<String> {
    let show = |length: Length| length.show(assessment.units);
    let over = |length: Option<Length>| length.map(|length| format!("over {}", show(length)));
    let mut words = vec![show(way.figure)];
    match way.kind {
        WayKind::Lower { step } => words.extend(step.map(|step| format!("step then {}", show(step)))),
        WayKind::HoldOff { length, no_door, planned } => {
            words.extend(over(length));
            words.extend(no_door.then(|| "no door".to_owned()));
            words.extend(planned.then(|| "strip is planned".to_owned()));
        }
        WayKind::Open { above, length } => {
            words.push(format!("ends {} above the surface", show(above)));
            words.extend(over(length));
        }
        WayKind::Turn { fall, depth } => {
            words.push(format!("a fall of {} over {}", fall.show(assessment.units), show(depth)));
        }
        WayKind::Landing { flight, below } => {
            words.push(format!("{} risers of {}", flight.risers, show(flight.riser)));
            words.extend(below.map(|below| format!("a landing {} below", show(below))));
        }
        WayKind::Step { flight } => words.push(format!("{} risers of {}", flight.risers, show(flight.riser))),
    }
    words
}

fn open_points(page: &mut Page, assessment: &Assessment<'_>) {
    let rows = assessment.open.iter().map(|point| {
        let question = &assessment.content.flow.questions[point.question].id;
        let again = if point.again { "measure again" } else { "" };
        let count = format!("{} + {}", point.findings.len(), point.limits.len());
        cells([question.as_str(), point.worst.word(), &count, again])
    });
    page.table(&rows.collect::<Vec<_>>());
}

/// The tasks, each once, by the sheets that it stands on.
fn tasks(page: &mut Page, assessment: &Assessment<'_>) {
    let sheets = [("H", Sheet::Homeowner), ("L", Sheet::Landscaper), ("E", Sheet::Exterior)];
    let on =
        |task: &Task| sheets.map(|(letter, sheet)| if task.sheets.contains(&sheet) { letter } else { "-" }).join(" ");
    let mut by_sheets: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for task in assessment.tasks(None) {
        let hold = if task.hold { "!" } else { "" };
        by_sheets.entry(on(task)).or_default().push(format!("{}{hold}", task.id));
    }
    for (letters, ids) in by_sheets.iter().rev() {
        page.list(letters, ids);
    }
    page.list("trades", &assessment.calls().map(|call| call.id.to_string()).collect::<Vec<_>>());
}

/// Rows that are printed on some sheet and on no other list of the page.
fn told_besides(page: &mut Page, assessment: &Assessment<'_>) {
    let holds = |when: &wallfoot::flow::Condition| when.eval(&assessment.values).is_yes();
    let photos = assessment.content.photos.iter().filter(|photo| holds(&photo.when));
    let lists: [(&str, Vec<String>); 6] = [
        ("contractor", assessment.asks().map(|ask| ask.id.to_string()).collect()),
        ("cautions", assessment.cautions(None).map(|caution| caution.id.to_string()).collect()),
        ("materials", assessment.materials(None).map(|material| material.id.to_string()).collect()),
        ("joint", assessment.joint_tasks().iter().map(|(task, _)| task.id.to_string()).collect()),
        ("photos", photos.map(|photo| photo.id.to_string()).collect()),
        ("opened", assessment.to_remove().chain(assessment.scope()).map(|remark| remark.id.to_string()).collect()),
    ];
    for (label, ids) in &lists {
        page.list(label, ids);
    }
}

/// What the plan comes to, and its activities: those of one trade that begin on one day on a line.
fn plan(page: &mut Page, assessment: &Assessment<'_>) {
    let Some(plan) = assessment.plan() else { return };
    let critical = plan.critical();
    let begins = |i: usize| (plan.span(i).0, plan.activities[i].row.who);
    let numbers: Vec<usize> = (0..plan.activities.len()).collect();
    for together in numbers.chunk_by(|a, b| begins(*a) == begins(*b)) {
        let (day, who) = begins(together[0]);
        let activities = together.iter().map(|i| {
            let planned = &plan.activities[*i];
            let star = if critical.contains(i) { "*" } else { "" };
            let hold = if planned.row.hold { "!" } else { "" };
            let (_, last) = plan.span(*i);
            let to = if last == day { String::new() } else { format!(" to {last}") };
            let rough = if planned.rough { " rough" } else { "" };
            format!("{}{hold}{star} {} h{to}{rough}", planned.row.id, planned.hours)
        });
        page.list(&format!("{day:<3}{}", who.word()), &activities.collect::<Vec<_>>());
    }
}

/// Days of the plan, in a few words.
fn days(assessment: &Assessment<'_>) -> String {
    let Some(plan) = assessment.plan() else { return "no days".to_owned() };
    let open = plan.least_open().map_or_else(String::new, |days| format!(", the wall open on {days}"));
    let more = if plan.open_ended() { ", open ended" } else { "" };
    format!("{} working days{open}{more}", plan.days())
}

fn material(page: &mut Page, assessment: &Assessment<'_>) {
    let rows = assessment.quantities();
    let rows = rows.iter().map(|quantity| {
        let amount = assessment.amount_words(quantity.amount);
        cells([quantity.row.id.as_str(), &amount])
    });
    let rows: Vec<Vec<String>> = rows.collect();
    // three a line: nobody reads a list of one amount a line to its end
    let rows: Vec<Vec<String>> = rows.chunks(3).map(<[Vec<String>]>::concat).collect();
    page.table(&rows);
    let missing = assessment.not_counted().len();
    if missing > 0 {
        page.list("not counted", &[missing.to_string()]);
    }
    let Some(digging) = assessment.digging() else { return };
    let show = |length: Length| length.show(assessment.units);
    let layers = digging.layers.iter().map(|laid| {
        let perhaps = if laid.certain { "" } else { "perhaps " };
        format!("{perhaps}{} {}", laid.layer.id, show(laid.layer.thickness))
    });
    page.list("layers", &layers.collect::<Vec<_>>());
    let mut words = vec![format!("{} together", show(digging.together))];
    words.extend(digging.below_mark.map(|below| format!("underside {} below the mark", show(below))));
    words.extend(digging.at_wall.map(|deep| format!("{} at the wall", show(deep))));
    words.extend(digging.at_edge.map(|deep| format!("{} at the edge", show(deep))));
    words.extend(digging.drop_at_edge.map(|drop| format!("edge {} lower", show(drop))));
    words.push(format!("{} deeper if lowered", show(digging.deeper)));
    page.list("digging", &words);
}
