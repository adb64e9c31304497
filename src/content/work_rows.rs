//! Rows of the content about the work: activities, and what weather they need.

use super::lap_rows::Laps;
use super::rows::{Origin, RowReader, WHO, Who, id_text};
use super::verdict::Verdict;
use super::works::Must;
use crate::flow::{Answer, Condition, Diagnostics, Fields, Flow, Node, Place, Tree};
use crate::pack::{Text, packed};
use crate::units::{Temperature, Units};
use crate::work::{Activity, Need, Network, OrderError};

/// What a day must be like for some work.
#[derive(Debug, Clone)]
pub struct WeatherNeed {
    /// Its id.
    pub id: Text,
    /// The work.
    pub what: Text,
    /// The need.
    pub need: Need,
    /// Where it comes from.
    pub origin: Origin,
}

packed!(struct WeatherNeed { id, what, need, origin });

/// What the duration of an activity is counted by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Per {
    /// Square feet of wall opened.
    OpenedArea,
    /// Feet of wall.
    WallLength,
    /// Square feet of surface.
    SurfaceArea,
    /// Short tons of base stone.
    BaseWeight,
    /// Cubic yards of concrete.
    ConcreteVolume,
    /// Feet of free edge.
    EdgeLength,
    /// Cubic feet of hollow.
    VoidVolume,
    /// Cubic yards of fill under the work.
    FillVolume,
}

packed!(enum Per { 0: OpenedArea, 1: WallLength, 2: SurfaceArea, 3: BaseWeight, 4: ConcreteVolume, 5: EdgeLength, 6: VoidVolume, 7: FillVolume });

/// Answers that a planned visit is taken to give once it stands as planned and has leaked.
#[derive(Debug, Clone)]
pub struct RepairLater {
    /// When. Looks at the visit as it is planned.
    pub when: Condition,
    /// The answers, by the number of the question.
    pub set: Vec<(usize, Answer)>,
}

packed!(struct RepairLater { when, set });

/// What an activity does to the wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WallWork {
    /// From then on it stands open.
    Opens,
    /// After it the wall sheds water again.
    Closes,
}

packed!(enum WallWork { 0: Opens, 1: Closes });

/// An activity of the plan.
#[derive(Debug, Clone)]
pub struct ActivityRow {
    /// Its id.
    pub id: Text,
    /// Who does it.
    pub who: Who,
    /// When it is called for.
    pub when: Condition,
    /// What it is.
    pub what: Text,
    /// Hours of the whole crew together, in thousandths.
    pub hours: i64,
    /// Person-hours for each unit, in thousandths, and the unit.
    pub rate: Option<(i64, Per)>,
    /// Persons.
    pub crew: i64,
    /// The numbers of the activities before it.
    pub after: Vec<usize>,
    /// Whether work stops after it until someone has looked.
    pub hold: bool,
    /// The number of the weather need.
    pub weather: Option<usize>,
    /// Days to wait after it.
    pub cure_days: i64,
    /// Working days to wait after it.
    pub office_days: i64,
    /// Whether it must be done in one go.
    pub one_go: bool,
    /// Whether what comes before it still comes first where it is not called for itself.
    pub hands_on: bool,
    /// Only with this verdict; nothing: with any.
    pub verdict: Option<Verdict>,
    /// The numbers of the layers of the wall that it sets, in its order.
    pub sets: Vec<usize>,
    /// Whether it opens the wall or closes it.
    pub wall: Option<WallWork>,
    /// Where the duration comes from.
    pub origin: Origin,
}

packed!(struct ActivityRow { id, who, when, what, hours, rate, crew, after, hold, weather, cure_days, office_days, one_go, hands_on, verdict, sets, wall, origin });

/// An activity whose references are still names.
pub(crate) struct RawActivity {
    row: ActivityRow,
    place: Place,
    after: Vec<(String, Place)>,
    weather: Option<(String, Place)>,
}

const PERS: [(&str, Per); 8] = [
    ("opened_area", Per::OpenedArea),
    ("wall_length", Per::WallLength),
    ("surface_area", Per::SurfaceArea),
    ("base_weight", Per::BaseWeight),
    ("concrete_volume", Per::ConcreteVolume),
    ("edge_length", Per::EdgeLength),
    ("void_volume", Per::VoidVolume),
    ("fill_volume", Per::FillVolume),
];

impl RowReader<'_> {
    pub(crate) fn weather_need(&mut self, node: &Node<'_>) -> Option<WeatherNeed> {
        let mut fields = Fields::of(node, "a weather need", self.diags)?;
        let id = self.id(&mut fields, "weather");
        let what = self.text(&mut fields, "what", true);
        let mut degrees = |name: &'static str, diags: &mut Diagnostics| {
            let node = fields.take(name)?;
            let found = node.text().and_then(Temperature::parse);
            if found.is_none() {
                diags.error(node.place, format!("`{name}` must be whole degrees with their unit, such as 40 F or 4 C"));
            }
            found
        };
        let low = degrees("low", self.diags);
        let high = degrees("high", self.diags);
        let mean_low = degrees("mean_low", self.diags);
        let keep_low = degrees("keep_low", self.diags);
        let keep_high = degrees("keep_high", self.diags);
        let windy_high = degrees("windy_high", self.diags);
        // miles an hour to tenths of a metre per second
        let windy = fields.decimal("windy_mph", self.diags).map(|mph| mph * 1_609_344 / 360_000_000);
        let dry = fields.flag("dry", false, self.diags);
        let mut count = |name: &'static str, diags: &mut Diagnostics| {
            fields.whole(name, diags).and_then(|n| usize::try_from(n).ok()).unwrap_or(0)
        };
        // weather comes by the day, so hours count as the days that they touch
        let dry_before = count("dry_hours_before", self.diags).div_ceil(24);
        let dry_after = count("dry_hours_after", self.diags).div_ceil(24);
        let keep_days = count("keep_days", self.diags);
        let origin = self.origin(&mut fields, "weather need", id_text(id.as_ref()), Must::Figure);
        fields.finish(self.diags);
        let (id, place) = id?;
        if (keep_low.is_some() || keep_high.is_some()) != (keep_days > 0) {
            self.diags.error(
                place,
                format!("the weather need `{id}` needs `keep_days:` together with `keep_low:` or `keep_high:`"),
            );
        }
        if windy_high.is_some() != windy.is_some() {
            self.diags.error(place, format!("the weather need `{id}` needs `windy_high:` and `windy_mph:` together"));
        }
        let need = Need {
            low,
            high,
            mean_low,
            dry,
            dry_before,
            dry_after,
            keep_low: keep_low.map(|low| (low, keep_days)),
            keep_high: keep_high.map(|high| (high, keep_days)),
            windy_high: windy_high.zip(windy),
        };
        Some(WeatherNeed { id, what, need, origin })
    }

    pub(crate) fn activity(&mut self, node: &Node<'_>, laps: &Laps) -> Option<RawActivity> {
        let mut fields = Fields::of(node, "an activity", self.diags)?;
        let id = self.id(&mut fields, "activity");
        let who = fields.need_word("trade", &WHO, self.diags);
        let when = self.when(&mut fields);
        let what = self.text(&mut fields, "what", true);
        let hours = fields.decimal("hours", self.diags);
        let rate = fields.decimal("rate", self.diags);
        let per = fields.word("per", &PERS, self.diags);
        let crew = fields.whole("crew", self.diags).unwrap_or(1);
        let names =
            |nodes: &[Node<'_>]| nodes.iter().filter_map(|n| Some((n.text()?.to_owned(), n.place))).collect::<Vec<_>>();
        let after = names(fields.list("after", self.diags));
        let hold = fields.flag("hold", false, self.diags);
        let weather = fields.take("weather").and_then(|n| Some((n.text()?.to_owned(), n.place)));
        let cure_days = fields.whole("cure_days", self.diags).unwrap_or(0);
        let office_days = fields.whole("office_days", self.diags).unwrap_or(0);
        let one_go = fields.flag("one_go", false, self.diags);
        let hands_on = fields.flag("hands_on", true, self.diags);
        let verdict = self.verdict(&mut fields);
        let sets = self.sets(&mut fields, laps);
        let wall = fields.word("wall", &[("opens", WallWork::Opens), ("closes", WallWork::Closes)], self.diags);
        let origin = self.origin(&mut fields, "activity", id_text(id.as_ref()), Must::Figure);
        fields.finish(self.diags);
        let (id, place) = id?;
        if rate.is_some() != per.is_some() {
            self.diags.error(place, format!("the activity `{id}` needs `rate:` and `per:` together"));
        }
        if hours.is_none() && rate.is_none() {
            self.diags.error(place, format!("the activity `{id}` needs `hours:` or `rate:`"));
        }
        if crew < 1 {
            self.diags.error(place, format!("the activity `{id}` needs at least one person"));
        }
        let row = ActivityRow {
            id,
            who: who?,
            when,
            what,
            hours: hours.unwrap_or(0),
            rate: rate.zip(per),
            crew: crew.max(1),
            after: Vec::new(),
            hold,
            weather: None,
            one_go,
            hands_on,
            verdict,
            cure_days,
            office_days,
            sets,
            wall,
            origin,
        };
        Some(RawActivity { row, place, after, weather })
    }

    /// A row of the story of a later repair.
    pub(crate) fn repair_later(&mut self, node: &Node<'_>, flow: &Flow) -> Option<RepairLater> {
        let mut fields = Fields::of(node, "a later repair", self.diags)?;
        let when = self.when(&mut fields);
        let set = fields.need("set", self.diags);
        fields.finish(self.diags);
        let set = set?;
        let Tree::Map(entries) = &set.tree else {
            let message = format!("`set` must be a map of questions and answers, not {}", set.describe());
            self.diags.error(set.place, message);
            return None;
        };
        let mut answers = Vec::new();
        for (key, value) in entries {
            let Some(number) = flow.question(&key.text) else {
                if let Some((message, hint)) = self.names.missing(&key.text) {
                    self.diags.error_with_hint(key.place, message, hint);
                }
                continue;
            };
            let question = &flow.questions[number];
            match question.read_answer(value.text().unwrap_or_default(), Units::Inch) {
                Ok(answer) => answers.push((number, answer)),
                Err(error) => self.diags.error(value.place, format!("`{}`: {error}", question.id)),
            }
        }
        Some(RepairLater { when, set: answers })
    }

    /// Resolves the names of activities and weather needs; names that are not there, circles, and layers of the wall in the
    /// wrong order are mistakes.
    pub(crate) fn activities(&mut self, raw: Vec<RawActivity>, needs: &[WeatherNeed], laps: &Laps) -> Vec<ActivityRow> {
        let ids: Vec<Text> = raw.iter().map(|a| a.row.id.clone()).collect();
        let places: Vec<Place> = raw.iter().map(|a| a.place).collect();
        let mut rows = Vec::with_capacity(raw.len());
        for RawActivity { mut row, after, weather, .. } in raw {
            for (name, place) in after {
                match ids.iter().position(|id| *id == name) {
                    Some(at) => row.after.push(at),
                    None => self.unknown(place, "activity", &name, ids.iter().map(Text::as_str)),
                }
            }
            if let Some((name, place)) = weather {
                row.weather = needs.iter().position(|n| n.id == name);
                if row.weather.is_none() {
                    self.unknown(place, "weather need", &name, needs.iter().map(|n| n.id.as_str()));
                }
            }
            rows.push(row);
        }
        let all = rows.iter().map(|r| Activity { hours: 1, after: r.after.clone() }).collect();
        if let Err(OrderError::Circle(chain)) = Network::new(all) {
            let names: Vec<&str> = chain.iter().map(|i| ids[*i].as_str()).collect();
            self.diags.error_with_hint(
                places[chain[0]],
                format!("activities wait for each other: {}", names.join(" waits for ")),
                Some("take one of these out of `after:`".to_owned()),
            );
            return rows;
        }
        let steps: Vec<_> =
            rows.iter().zip(&places).map(|(row, place)| (row.id.as_str(), *place, row.sets.as_slice())).collect();
        self.check_laps(laps, "activity", &steps, |early, late| always_after(&rows, late, early));
        rows
    }

    fn unknown<'a>(&mut self, place: Place, kind: &str, name: &str, known: impl Iterator<Item = &'a str>) {
        let hint = crate::flow::nearest(name, known).map(|near| format!("did you mean `{near}`?"));
        self.diags.error_with_hint(place, format!("there is no {kind} `{name}`"), hint);
    }
}

/// Whether one activity waits for another in every plan that has both: along a chain of activities that each let what comes
/// before them come first where they are not called for themselves.
fn always_after(rows: &[ActivityRow], late: usize, early: usize) -> bool {
    let mut todo = rows[late].after.clone();
    let mut seen = vec![false; rows.len()];
    while let Some(at) = todo.pop() {
        if at == early {
            return true;
        }
        if !std::mem::replace(&mut seen[at], true) && rows[at].hands_on {
            todo.extend(&rows[at].after);
        }
    }
    false
}
