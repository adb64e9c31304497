//! A chart of activities over time, in characters and as SVG. Readable in black and white.

use crate::flow::fill;
use crate::sheet::{Bar, Chart};
use maud::{Markup, html};
use unicode_width::UnicodeWidthStr;

/// Hours that a column may stand for.
const COLUMNS: [i64; 7] = [4, 8, 16, 24, 40, 80, 160];

/// Columns in front of the bars.
const FRONT: usize = 6;

/// The chart in characters: a heading row of days, then for each lane its name and a line for each bar. Behind the
/// lines stands what a column is worth.
#[must_use]
pub(super) fn lines(chart: &Chart, width: usize) -> Vec<String> {
    let room = width.saturating_sub(FRONT + 2);
    let fits = |hours: i64| columns(chart.end(), hours) <= room;
    let hours = COLUMNS.into_iter().find(|hours| fits(*hours)).unwrap_or(320);
    let mut out = vec![days(chart, hours)];
    for lane in &chart.lanes {
        out.push(lane.name.clone());
        out.extend(lane.bars.iter().map(|bar| line(bar, hours)));
    }
    out.push(String::new());
    out.push(fill(&chart.note, &|name| (name == "hours").then(|| hours.to_string())));
    out
}

/// Columns up to an hour.
fn columns(to: i64, hours: i64) -> usize {
    usize::try_from((to + hours - 1) / hours).unwrap_or(0)
}

/// Numbers of days over the columns where they begin, as far as they have room.
fn days(chart: &Chart, hours: i64) -> String {
    let mut head = format!("{:<FRONT$}", chart.day);
    let offset = head.width();
    let last = (chart.end() - 1) / chart.shift + 1;
    for day in 1..=last {
        let at = offset + usize::try_from((day - 1) * chart.shift / hours).unwrap_or(0);
        let number = day.to_string();
        if head.width() < at || day == 1 {
            head.push_str(&" ".repeat(at.saturating_sub(head.width())));
            head.push_str(&number);
            head.push(' ');
        }
    }
    head.trim_end().to_owned()
}

fn line(bar: &Bar, hours: i64) -> String {
    let before = usize::try_from(bar.start / hours).unwrap_or(0);
    let work = columns(bar.start + bar.work.max(1), hours) - before;
    let wait = columns(bar.start + bar.work.max(1) + bar.wait, hours) - before - work;
    let stop = if bar.hold { "!" } else { "" };
    format!("{:>4}  {}{}{}{stop}", bar.number, " ".repeat(before), "#".repeat(work.max(1)), ".".repeat(wait))
}

const WIDTH: f64 = 760.0;
const LEFT: f64 = 24.0;
const ROW: f64 = 16.0;
const HEAD: f64 = 22.0;
/// The size of letters. The width fills a sheet of A4, so that they are over 8 points there.
const LETTERS: f64 = 12.0;
/// About the width of a letter.
const LETTER: f64 = 6.3;
/// What stands between a bar and its words.
const GAP: f64 = 6.0;
/// Rows that fit on a page; a longer chart goes on in another drawing.
const MOST: usize = 50;

/// The chart as drawings, each for a page: work black, waiting dashed, a stop as a bar at the end; each bar with its number
/// and what it is.
pub(super) fn drawings(chart: &Chart) -> Vec<Markup> {
    let scale = HourScale::of(chart);
    let mut pages: Vec<Vec<ChartRow<'_>>> = vec![Vec::new()];
    for lane in &chart.lanes {
        for (i, bar) in lane.bars.iter().enumerate() {
            let mut rows = rows_of(bar, &scale);
            // the name stays with the first bar, and is said again on top of a page
            let page = pages.last().map_or(0, Vec::len);
            let full = page + rows.len() + usize::from(i == 0) > MOST;
            if i == 0 || full {
                rows.insert(0, ChartRow::Name(&lane.name));
            }
            if full {
                pages.push(Vec::new());
            }
            if let Some(page) = pages.last_mut() {
                page.append(&mut rows);
            }
        }
    }
    pages.iter().map(|rows| drawing(chart, rows, &scale)).collect()
}

/// Places of hours.
struct HourScale {
    /// The end of the last day.
    end: i64,
}

impl HourScale {
    fn of(chart: &Chart) -> HourScale {
        HourScale { end: (chart.end() + chart.shift - 1) / chart.shift * chart.shift }
    }

    #[allow(clippy::cast_precision_loss)] // hours, as pixels
    fn x(&self, hour: i64) -> f64 {
        LEFT + (WIDTH - LEFT - GAP) * hour as f64 / self.end as f64
    }

    /// From where to where a bar is work, and until when everybody waits.
    fn span(&self, bar: &Bar) -> (f64, f64, f64) {
        let (from, worked) = (self.x(bar.start), self.x(bar.start + bar.work.max(1)).max(self.x(bar.start) + 2.0));
        let waited = if bar.wait > 0 { self.x(bar.start + bar.work.max(1) + bar.wait) } else { worked };
        (from, worked, waited)
    }
}

enum ChartRow<'a> {
    Name(&'a str),
    /// A bar, with its words behind it or before it, or on lines of their own.
    Bar(&'a Bar, Beside),
    Words(String),
}

/// Where the words of a bar stand.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Beside {
    After,
    Before,
    Below,
}

/// The words stand behind the bar, or before it where they have room there only. What has room on neither side stands below.
fn rows_of<'a>(bar: &'a Bar, scale: &HourScale) -> Vec<ChartRow<'a>> {
    let (from, _, waited) = scale.span(bar);
    let words = words(bar);
    #[allow(clippy::cast_precision_loss)] // letters, as pixels
    let wide = words.chars().count() as f64 * LETTER + GAP;
    if waited + GAP + wide < WIDTH {
        vec![ChartRow::Bar(bar, Beside::After)]
    } else if wide < from {
        vec![ChartRow::Bar(bar, Beside::Before)]
    } else {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a few dozen letters
        let letters = ((WIDTH - LEFT) / LETTER) as usize;
        let lines = super::labels::wrapped(&super::held::held(&words), textwrap::Options::new(letters));
        [ChartRow::Bar(bar, Beside::Below)].into_iter().chain(lines.into_iter().map(ChartRow::Words)).collect()
    }
}

fn words(bar: &Bar) -> String {
    format!("{} {}", bar.number, bar.what)
}

fn drawing(chart: &Chart, rows: &[ChartRow<'_>], scale: &HourScale) -> Markup {
    #[allow(clippy::cast_precision_loss)] // rows, as pixels
    let height = (rows.len() as f64).mul_add(ROW, HEAD + 4.0);
    let days = scale.end / chart.shift;
    let every = [1, 2, 5, 10, 20, 50, 100].into_iter().find(|n| days / n <= 20).unwrap_or(200);
    html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(format!("0 0 {WIDTH} {height:.0}")) role="img" aria-label=(chart.title) font-family="Helvetica, Arial, sans-serif" font-size=(LETTERS) {
            title { (chart.title) }
            @for day in (0..days).filter(|day| day % every == 0) {
                @let x = scale.x(day * chart.shift);
                line x1=(px(x)) x2=(px(x)) y1=(HEAD - 6.0) y2=(px(height)) stroke="#bbb" stroke-width="0.6" {}
                text x=(px(x + 2.0)) y="13" { @if day == 0 { (chart.day) " " } (day + 1) }
            }
            @for (i, row) in rows.iter().enumerate() {
                @let y = row_at(i);
                @match row {
                    ChartRow::Name(name) => {
                        rect x="0" y=(px(y)) width=(WIDTH) height=(ROW - 1.0) fill="#eee" {}
                        text x="4" y=(px(y + 12.0)) font-weight="bold" { (name) }
                    }
                    ChartRow::Bar(bar, beside) => (shape(bar, *beside, scale, y)),
                    ChartRow::Words(line) => text x=(LEFT) y=(px(y + 12.0)) { (line) },
                }
            }
        }
    }
}

fn row_at(i: usize) -> f64 {
    #[allow(clippy::cast_precision_loss)] // rows, as pixels
    let row = i as f64;
    row.mul_add(ROW, HEAD)
}

fn shape(bar: &Bar, beside: Beside, scale: &HourScale, y: f64) -> Markup {
    let (from, worked, waited) = scale.span(bar);
    html! {
        rect x=(px(from)) y=(px(y + 4.0)) width=(px(worked - from)) height="8" fill="#000" {}
        @if waited > worked {
            line x1=(px(worked)) x2=(px(waited)) y1=(px(y + 8.0)) y2=(px(y + 8.0)) stroke="#000" stroke-width="1.4" stroke-dasharray="2 2" {}
        }
        @if bar.hold {
            line x1=(px(waited + 1.5)) x2=(px(waited + 1.5)) y1=(px(y + 1.0)) y2=(px(y + 15.0)) stroke="#000" stroke-width="2.4" {}
        }
        @match beside {
            Beside::After => text x=(px(waited + GAP)) y=(px(y + 12.0)) { (words(bar)) },
            Beside::Before => text x=(px(from - 4.0)) y=(px(y + 12.0)) text-anchor="end" { (words(bar)) },
            Beside::Below => {}
        }
    }
}

fn px(n: f64) -> String {
    format!("{n:.1}")
}
