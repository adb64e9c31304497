//! A condition in the languages of others. They know two truth values, so each condition is written twice: as what is certain, and as
//! what is possible (Kleene logic in two literals). Of a choice each bit is a value of its own; of a number the least and the most.

use wallfoot::flow::{Clause, Test};

/// One of the two readings of a condition.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Reading {
    Certain,
    Possible,
}

impl Reading {
    fn turned(self) -> Reading {
        if self == Reading::Certain { Reading::Possible } else { Reading::Certain }
    }
}

/// A condition of two truth values.
pub enum Plain {
    All(Vec<Plain>),
    Any(Vec<Plain>),
    Not(Box<Plain>),
    Flag(usize),
    Compared(usize, &'static str, i64),
}

/// What is asked of a value, each with a number of its own: yes or no, or a whole number.
#[derive(Default)]
pub struct Asked {
    pub flags: Vec<(u16, Flag)>,
    pub numbers: Vec<(u16, bool)>,
}

/// A value as a yes or no.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Flag {
    /// It is a number.
    Known,
    /// It is not certainly without one.
    There,
    /// It has a bit, in a reading.
    Bit(u32, bool),
}

impl Asked {
    fn flag(&mut self, slot: u16, flag: Flag) -> Plain {
        let at = self.flags.iter().position(|known| *known == (slot, flag)).unwrap_or_else(|| {
            self.flags.push((slot, flag));
            self.flags.len() - 1
        });
        Plain::Flag(at)
    }

    fn number(&mut self, slot: u16, most: bool) -> usize {
        self.numbers.iter().position(|known| *known == (slot, most)).unwrap_or_else(|| {
            self.numbers.push((slot, most));
            self.numbers.len() - 1
        })
    }

    /// A condition in one of its readings.
    pub fn plain(&mut self, clause: &Clause, reading: Reading) -> Plain {
        match clause {
            Clause::All(parts) => Plain::All(parts.iter().map(|part| self.plain(part, reading)).collect()),
            Clause::Any(parts) => Plain::Any(parts.iter().map(|part| self.plain(part, reading)).collect()),
            Clause::Not(part) => Plain::Not(Box::new(self.plain(part, reading.turned()))),
            Clause::Is(slot, test) => {
                let certain = reading == Reading::Certain;
                let mut compared = |most: bool, sign, n| {
                    let number = self.number(*slot, most);
                    Plain::All(vec![self.flag(*slot, Flag::There), Plain::Compared(number, sign, n)])
                };
                match *test {
                    Test::Known(true) => self.flag(*slot, Flag::Known),
                    Test::Known(false) => Plain::Not(Box::new(self.flag(*slot, Flag::Known))),
                    Test::Any(bits) => {
                        let bits = (0..63).filter(|bit| bits & 1 << bit != 0);
                        Plain::Any(bits.map(|bit| self.flag(*slot, Flag::Bit(bit, certain))).collect())
                    }
                    Test::Below(n) => compared(certain, "<", n),
                    Test::AtMost(n) => compared(certain, "<=", n),
                    Test::Above(n) => compared(!certain, ">", n),
                    Test::AtLeast(n) => compared(!certain, ">=", n),
                }
            }
        }
    }
}

/// How a language writes its signs, flags and numbers.
pub struct Signs {
    pub all: &'static str,
    pub any: &'static str,
    pub not: &'static str,
    pub flag: fn(usize) -> String,
    pub number: fn(usize) -> String,
}

/// A condition as text.
pub fn text(plain: &Plain, signs: &Signs) -> String {
    let group = |parts: &[Plain], sign: &str, empty: &str| {
        let parts: Vec<String> = parts.iter().map(|part| text(part, signs)).collect();
        if parts.is_empty() { empty.to_owned() } else { format!("({})", parts.join(&format!(" {sign} "))) }
    };
    match plain {
        Plain::All(parts) => group(parts, signs.all, "true"),
        Plain::Any(parts) => group(parts, signs.any, "false"),
        Plain::Not(part) => format!("{}({})", signs.not, text(part, signs)),
        Plain::Flag(at) => (signs.flag)(*at),
        Plain::Compared(at, sign, n) => format!("({} {sign} {n})", (signs.number)(*at)),
    }
}

/// A condition as JSON logic.
pub fn json(plain: &Plain) -> serde_json::Value {
    use serde_json::json;
    let list = |parts: &[Plain]| parts.iter().map(self::json).collect::<Vec<_>>();
    match plain {
        Plain::All(parts) if parts.is_empty() => json!(true),
        Plain::Any(parts) if parts.is_empty() => json!(false),
        Plain::All(parts) => json!({ "and": list(parts) }),
        Plain::Any(parts) => json!({ "or": list(parts) }),
        Plain::Not(part) => json!({ "!": [self::json(part)] }),
        Plain::Flag(at) => json!({ "var": format!("f.{at}") }),
        Plain::Compared(at, sign, n) => json!({ *sign: [{ "var": format!("n.{at}") }, n] }),
    }
}
