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
const ROW: f64 = 15.0;
const HEAD: f64 = 20.0;

/// The chart as SVG: work black, waiting dashed, a stop as a bar at the end; each bar with its number and what it is.
pub(super) fn svg(chart: &Chart) -> Markup {
    #[allow(clippy::cast_precision_loss)] // hours and rows, as pixels
    let float = |n: i64| n as f64;
    let end = (chart.end() + chart.shift - 1) / chart.shift * chart.shift;
    let x = |hour: i64| LEFT + (WIDTH - LEFT - 6.0) * float(hour) / float(end);
    let mut rows: Vec<ChartRow<'_>> = Vec::new();
    for lane in &chart.lanes {
        rows.push(ChartRow::Name(&lane.name));
        rows.extend(lane.bars.iter().map(ChartRow::Bar));
    }
    #[allow(clippy::cast_precision_loss)] // as above
    let height = (rows.len() as f64).mul_add(ROW, HEAD + 4.0);
    let every = [1, 2, 5, 10, 20, 50, 100].into_iter().find(|n| end / chart.shift / n <= 24).unwrap_or(200);
    let ticks = (0..end / chart.shift).filter(|day| day % every == 0);
    html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(format!("0 0 {WIDTH} {height:.0}")) role="img" aria-label=(chart.title) font-family="Helvetica, Arial, sans-serif" font-size="10" {
            title { (chart.title) }
            @for day in ticks {
                line x1=(px(x(day * chart.shift))) x2=(px(x(day * chart.shift))) y1=(HEAD - 6.0) y2=(px(height)) stroke="#bbb" stroke-width="0.6" {}
                text x=(px(x(day * chart.shift) + 2.0)) y="11" { @if day == 0 { (chart.day) " " } (day + 1) }
            }
            @for (i, row) in rows.iter().enumerate() {
                @let y = row_at(i);
                @match row {
                    ChartRow::Name(name) => {
                        rect x="0" y=(px(y)) width=(WIDTH) height=(ROW - 1.0) fill="#eee" {}
                        text x="4" y=(px(y + 10.5)) font-weight="bold" font-size="10.5" { (name) }
                    }
                    ChartRow::Bar(bar) => {
                        (shape(bar, &x, y))
                    }
                }
            }
        }
    }
}

enum ChartRow<'a> {
    Name(&'a str),
    Bar(&'a Bar),
}

fn row_at(i: usize) -> f64 {
    #[allow(clippy::cast_precision_loss)] // rows, as pixels
    let row = i as f64;
    row.mul_add(ROW, HEAD)
}

fn shape(bar: &Bar, x: &dyn Fn(i64) -> f64, y: f64) -> Markup {
    let (from, worked) = (x(bar.start), x(bar.start + bar.work.max(1)).max(x(bar.start) + 2.0));
    let waited = if bar.wait > 0 { x(bar.start + bar.work.max(1) + bar.wait) } else { worked };
    // the words stand behind the bar, or before it where there is more room
    let after = WIDTH - waited > from - LEFT;
    let words = format!("{} {}", bar.number, bar.what);
    html! {
        rect x=(px(from)) y=(px(y + 3.0)) width=(px(worked - from)) height="8" fill="#000" {}
        @if waited > worked {
            line x1=(px(worked)) x2=(px(waited)) y1=(px(y + 7.0)) y2=(px(y + 7.0)) stroke="#000" stroke-width="1.4" stroke-dasharray="2 2" {}
        }
        @if bar.hold {
            line x1=(px(waited + 1.5)) x2=(px(waited + 1.5)) y1=(px(y)) y2=(px(y + 14.0)) stroke="#000" stroke-width="2.4" {}
        }
        @if after {
            text x=(px(waited + 6.0)) y=(px(y + 10.5)) { (words) }
        } @else {
            text x=(px(from - 4.0)) y=(px(y + 10.5)) text-anchor="end" { (words) }
        }
    }
}

fn px(n: f64) -> String {
    format!("{n:.1}")
}
