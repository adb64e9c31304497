//! How long it takes to evaluate the conditions of the content for a visit: by wallfoot, by general engines, and as compiled Rust.
//!
//! All get the same values of the same visits and have to give the same results. What is measured is evaluating alone: expressions are
//! compiled before, and the values of a visit are handed over before.

mod write;

use std::hint::black_box;
use std::path::Path;
use std::time::Instant;
use wallfoot::content::Content;
use wallfoot::flow::{Condition, Gates, Truth, Value};
use wallfoot::units::Units;
use wallfoot::visit::Visit;
use write::{Asked, Flag, Reading, Signs, json, text};

include!("conditions.rs");
include!(concat!(env!("OUT_DIR"), "/compiled.rs"));

#[inline(always)]
fn tested(value: Value, holds: impl Fn(i64) -> bool) -> Truth {
    match value {
        Value::Is(n) => Truth::from(holds(n)),
        Value::Absent => Truth::No,
        Value::Unknown | Value::Unasked => Truth::Unknown,
        Value::Between(low, high) => {
            let (low, high) = (holds(low), holds(high));
            if low == high { Truth::from(low) } else { Truth::Unknown }
        }
    }
}

#[inline(always)]
fn known(value: Value, wanted: bool) -> Truth {
    match value {
        Value::Unasked => Truth::Unknown,
        Value::Is(_) | Value::Between(..) => Truth::from(wanted),
        Value::Absent | Value::Unknown => Truth::from(!wanted),
    }
}

/// Numbers that every engine can hold.
const FAR: i64 = 1_000_000_000_000_000;

/// The values of a visit as flags and numbers.
struct Handed {
    flags: Vec<bool>,
    numbers: Vec<i64>,
}

impl Handed {
    fn of(values: &[Value], asked: &Asked) -> Handed {
        let flag = |(slot, flag): &(u16, Flag)| {
            let value = values[usize::from(*slot)];
            match (flag, value) {
                (Flag::Known, value) => matches!(value, Value::Is(_) | Value::Between(..)),
                (Flag::There, value) => value != Value::Absent,
                (Flag::Bit(bit, _), Value::Is(n)) => n & 1 << bit != 0,
                (Flag::Bit(_, certain), Value::Unknown) => !certain,
                (Flag::Bit(..), _) => false,
            }
        };
        let number = |(slot, most): &(u16, bool)| match values[usize::from(*slot)] {
            Value::Is(n) => n,
            Value::Between(low, high) => (if *most { high } else { low }).clamp(-FAR, FAR),
            _ => {
                if *most {
                    FAR
                } else {
                    -FAR
                }
            }
        };
        Handed { flags: asked.flags.iter().map(flag).collect(), numbers: asked.numbers.iter().map(number).collect() }
    }
}

/// An engine: evaluates expression after expression for a visit.
trait Engine {
    /// Takes the values of a visit.
    fn hand(&mut self, handed: &Handed);
    /// Evaluates one expression.
    fn eval(&mut self, expression: usize) -> bool;
}

const FLAT: Signs =
    Signs { all: "&&", any: "||", not: "!", flag: |at| format!("f{at}"), number: |at| format!("n{at}") };
const LISTS: Signs = Signs { flag: |at| format!("f[{at}]"), number: |at| format!("n[{at}]"), ..FLAT };

struct Evalexpr {
    trees: Vec<evalexpr::Node>,
    context: evalexpr::HashMapContext,
}

impl Engine for Evalexpr {
    fn hand(&mut self, handed: &Handed) {
        use evalexpr::{ContextWithMutableVariables, Value};
        for (at, flag) in handed.flags.iter().enumerate() {
            self.context.set_value(format!("f{at}"), Value::Boolean(*flag)).unwrap();
        }
        for (at, number) in handed.numbers.iter().enumerate() {
            self.context.set_value(format!("n{at}"), Value::Int(*number)).unwrap();
        }
    }
    fn eval(&mut self, expression: usize) -> bool {
        self.trees[expression].eval_boolean_with_context(&self.context).unwrap()
    }
}

struct Rhai {
    engine: rhai::Engine,
    trees: Vec<rhai::AST>,
    scope: rhai::Scope<'static>,
}

impl Engine for Rhai {
    fn hand(&mut self, handed: &Handed) {
        self.scope.clear();
        self.scope
            .push_constant("f", handed.flags.iter().map(|flag| rhai::Dynamic::from(*flag)).collect::<rhai::Array>());
        self.scope.push_constant("n", handed.numbers.iter().map(|n| rhai::Dynamic::from(*n)).collect::<rhai::Array>());
    }
    fn eval(&mut self, expression: usize) -> bool {
        self.engine.eval_ast_with_scope(&mut self.scope, &self.trees[expression]).unwrap()
    }
}

struct Cel {
    programs: Vec<cel::Program>,
    context: cel::Context<'static, 'static>,
}

impl Engine for Cel {
    fn hand(&mut self, handed: &Handed) {
        self.context = cel::Context::empty();
        for (at, flag) in handed.flags.iter().enumerate() {
            self.context.add_variable_from_value(format!("f{at}"), *flag);
        }
        for (at, number) in handed.numbers.iter().enumerate() {
            self.context.add_variable_from_value(format!("n{at}"), *number);
        }
    }
    fn eval(&mut self, expression: usize) -> bool {
        self.programs[expression].execute(&self.context).unwrap() == cel::Value::Bool(true)
    }
}

struct Zen {
    expressions: Vec<zen_expression::Expression<zen_expression::expression::Standard>>,
    context: zen_expression::variable::Variable,
    vm: zen_expression::vm::VM,
}

impl Engine for Zen {
    fn hand(&mut self, handed: &Handed) {
        self.context = serde_json::json!({ "f": handed.flags, "n": handed.numbers }).into();
    }
    fn eval(&mut self, expression: usize) -> bool {
        let found = self.expressions[expression].evaluate_with(self.context.clone(), &mut self.vm).unwrap();
        found.as_bool().unwrap()
    }
}

/// What a rule gives lies in the arena of the values too, and is not given back while a visit is measured: a few megabytes.
struct JsonLogic {
    engine: datalogic_rs::Engine,
    rules: Vec<datalogic_rs::Logic>,
    arena: &'static bumpalo::Bump,
    data: Option<&'static datalogic_rs::DataValue<'static>>,
}

impl Engine for JsonLogic {
    fn hand(&mut self, handed: &Handed) {
        let values = serde_json::json!({ "f": handed.flags, "n": handed.numbers }).to_string();
        // a few visits: what they take is not given back
        let data = datalogic_rs::DataValue::from_str(values.leak(), self.arena).unwrap();
        self.data = Some(self.arena.alloc(data));
    }
    fn eval(&mut self, expression: usize) -> bool {
        let found = self.engine.evaluate(&self.rules[expression], self.data.unwrap(), self.arena).unwrap();
        found.as_bool().unwrap()
    }
}

fn main() {
    let content = Content::load(&wallfoot::commands::sources(None, None).unwrap(), None).unwrap();
    let conditions = conditions(&content);
    let findings = content.findings.len();
    let visits = visits(&content);
    let mut asked = Asked::default();
    let mut plain = Vec::new();
    for (_, condition) in &conditions {
        plain.extend([Reading::Possible, Reading::Certain].map(|reading| asked.plain(&condition.clause(), reading)));
    }
    let texts = |signs: &Signs| plain.iter().map(|plain| text(plain, signs)).collect::<Vec<_>>();
    let mut engine = rhai::Engine::new();
    engine.set_max_expr_depths(0, 0);
    let arena: &'static bumpalo::Bump = Box::leak(Box::default());
    let json_logic = datalogic_rs::Engine::new();
    let rules = plain.iter().map(|plain| json_logic.compile(json(plain).to_string().as_str()).unwrap()).collect();
    let mut engines: Vec<(&str, Box<dyn Engine>)> = vec![
        ("datalogic-rs", Box::new(JsonLogic { engine: json_logic, rules, arena, data: None })),
        (
            "zen-expression",
            Box::new(Zen {
                expressions: texts(&Signs { all: "and", any: "or", not: "not ", ..LISTS })
                    .iter()
                    .map(|text| zen_expression::compile_expression(text).unwrap())
                    .collect(),
                context: serde_json::json!({}).into(),
                vm: zen_expression::vm::VM::new(),
            }),
        ),
        (
            "evalexpr",
            Box::new(Evalexpr {
                trees: texts(&FLAT).iter().map(|text| evalexpr::build_operator_tree(text).unwrap()).collect(),
                context: evalexpr::HashMapContext::new(),
            }),
        ),
        (
            "cel",
            Box::new(Cel {
                programs: texts(&FLAT).iter().map(|text| cel::Program::compile(text).unwrap()).collect(),
                context: cel::Context::empty(),
            }),
        ),
        (
            "rhai",
            Box::new(Rhai {
                trees: texts(&LISTS).iter().map(|text| engine.compile_expression(text).unwrap()).collect(),
                engine,
                scope: rhai::Scope::new(),
            }),
        ),
    ];
    let gates = Gates::of(conditions.iter().map(|(_, condition)| (*condition, None)));
    let gates_of_findings = Gates::of(conditions[..findings].iter().map(|(_, condition)| (*condition, None)));

    println!(
        "{} conditions, {findings} of them of findings; {} visits; times by visit",
        conditions.len(),
        visits.len()
    );
    println!("{:<36}{:>14}{:>14}", "", "findings", "all");
    let each = |count: usize| {
        per_visit(&visits, |values| {
            for (_, condition) in &conditions[..count] {
                black_box(condition.eval(values));
            }
        })
    };
    told("flat tests, one after the other", each(findings), each(conditions.len()));
    let gated = |gates: &Gates| {
        per_visit(&visits, |values| {
            for at in gates.open(values).iter() {
                black_box(conditions[at].1.eval(values));
            }
        })
    };
    told("the same behind gates, as wallfoot", gated(&gates_of_findings), gated(&gates));
    let compiled = |count: usize| {
        per_visit(&visits, |values| {
            for condition in &COMPILED[..count] {
                black_box(condition(values));
            }
        })
    };
    told("compiled Rust", compiled(findings), compiled(conditions.len()));
    let behind = |gates: &Gates| {
        per_visit(&visits, |values| {
            for at in gates.open(values).iter() {
                black_box(COMPILED[at](values));
            }
        })
    };
    told("compiled Rust behind the same gates", behind(&gates_of_findings), behind(&gates));
    for values in &visits {
        let open = gates.open(values);
        for (at, (kind, condition)) in conditions.iter().enumerate() {
            let truth = condition.eval(values);
            assert_eq!(truth, COMPILED[at](values), "compiled: {kind} {at}");
            assert!(truth == Truth::No || open.has(at), "gates: {kind} {at}");
        }
    }
    for (name, engine) in &mut engines {
        let mut times = [0.0; 2];
        for values in &visits {
            let handed = Handed::of(values, &asked);
            engine.hand(&handed);
            for (at, (kind, condition)) in conditions.iter().enumerate() {
                assert_eq!(condition.eval(values), truth(engine.as_mut(), at), "{name}: {kind} {at}");
            }
            for (time, count) in times.iter_mut().zip([findings, conditions.len()]) {
                let best = (0..5).map(|_| {
                    let start = Instant::now();
                    for at in 0..count {
                        black_box(truth(engine.as_mut(), at));
                    }
                    start.elapsed().as_secs_f64()
                });
                *time += best.fold(f64::MAX, f64::min);
            }
        }
        let [findings, all] = times.map(|time| time / visits.len() as f64);
        told(name, findings, all);
    }
}

/// The truth of a condition from its two readings; of what is not possible the second is not asked.
fn truth(engine: &mut dyn Engine, condition: usize) -> Truth {
    if !engine.eval(2 * condition) {
        Truth::No
    } else if engine.eval(2 * condition + 1) {
        Truth::Yes
    } else {
        Truth::Unknown
    }
}

/// Seconds by visit: over all visits again and again, the best of some rounds.
fn per_visit(visits: &[Vec<Value>], run: impl Fn(&[Value])) -> f64 {
    let rounds = (0..40).map(|_| {
        let start = Instant::now();
        for _ in 0..20 {
            visits.iter().for_each(|values| run(black_box(values)));
        }
        start.elapsed().as_secs_f64() / (20 * visits.len()) as f64
    });
    rounds.fold(f64::MAX, f64::min)
}

fn told(what: &str, findings: f64, all: f64) {
    println!("{what:<36}{:>11.2} µs{:>11.2} µs", findings * 1e6, all * 1e6);
}

/// The values of the invented visits of the tests.
fn visits(content: &Content) -> Vec<Vec<Value>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../visits");
    let mut files: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.retain(|path| path.extension().is_some_and(|ext| ext == "yaml"));
    files.sort();
    let read = |path: &std::path::PathBuf| {
        let visit = Visit::parse(&std::fs::read_to_string(path).unwrap(), path).unwrap();
        let (answers, _) = visit.answers(&content.flow, Units::Inch);
        content.assess(&answers, Units::Inch).values
    };
    files.iter().map(read).collect()
}
