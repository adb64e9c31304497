//! What a rule sees: values that may be unknown, and truth in three values.

use std::ops::Not;

/// Truth in strong Kleene logic. The order is `No < Unknown < Yes`, so that "and" is the least and
/// "or" the greatest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Truth {
    /// Certainly not.
    No,
    /// Cannot be told from what is known.
    Unknown,
    /// Certainly.
    Yes,
}

impl Truth {
    /// Both.
    #[must_use]
    pub fn and(self, other: Truth) -> Truth {
        self.min(other)
    }

    /// Either.
    #[must_use]
    pub fn or(self, other: Truth) -> Truth {
        self.max(other)
    }

    /// Whether it is `Yes`.
    #[must_use]
    pub fn is_yes(self) -> bool {
        self == Truth::Yes
    }

    /// Whether it is not certainly `No`.
    #[must_use]
    pub fn is_possible(self) -> bool {
        self != Truth::No
    }
}

impl From<bool> for Truth {
    fn from(yes: bool) -> Truth {
        if yes { Truth::Yes } else { Truth::No }
    }
}

impl Not for Truth {
    type Output = Truth;
    fn not(self) -> Truth {
        match self {
            Truth::No => Truth::Yes,
            Truth::Unknown => Truth::Unknown,
            Truth::Yes => Truth::No,
        }
    }
}

/// The value of a question, fact or limit as rules see it, in small integers:
/// a choice is the bit of its place in the list, several choices are several bits, yes/no are the
/// bits 2 and 1, a length counts steps of 1/320 mm, a slope parts per thousand million, a number
/// thousandths, a year itself, a text is 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Value {
    /// Not answered, "not sure", or not to be computed from what is known.
    #[default]
    Unknown,
    /// Not asked yet. Unlike `Unknown` it may still become known, so that even `known` is open.
    Unasked,
    /// Certainly has no value: its branch was not taken.
    Absent,
    /// Known.
    Is(i64),
    /// Known to lie between two numbers, both included.
    Between(i64, i64),
}

/// As an end of [`Value::Between`]: no bound on this side.
pub const FAR: i64 = i64::MAX / 2;

impl Value {
    /// Yes or no as a value.
    #[must_use]
    pub const fn yes_no(yes: bool) -> Value {
        Value::Is(if yes { 2 } else { 1 })
    }

    /// A choice, by its place in the list.
    #[must_use]
    pub const fn choice(index: usize) -> Value {
        Value::Is(1 << index)
    }

    /// The least that the number may be, if there is one.
    #[must_use]
    pub const fn low(self) -> Option<i64> {
        match self {
            Value::Is(n) | Value::Between(n, _) => Some(n),
            _ => None,
        }
    }

    /// The most that the number may be, if there is one.
    #[must_use]
    pub const fn high(self) -> Option<i64> {
        match self {
            Value::Is(n) | Value::Between(_, n) => Some(n),
            _ => None,
        }
    }

    /// The number, if it is known exactly.
    #[must_use]
    pub const fn known(self) -> Option<i64> {
        match self {
            Value::Is(n) => Some(n),
            _ => None,
        }
    }
}
