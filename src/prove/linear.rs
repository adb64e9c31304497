//! Numbers that fit between bounds: a small simplex that says which bounds stand against each other.
//!
//! Dutertre and de Moura, "A Fast Linear-Arithmetic Solver for DPLL(T)", CAV 2006, section 3 (from memory): every row is a variable
//! of its own, so that all bounds are bounds of variables; Bland's rule ends it; a row that cannot be mended is the explanation.

/// A bound, and what it comes from.
#[derive(Debug, Clone)]
pub(super) struct Bounded<T> {
    /// At least, and why; nothing for no bound.
    pub(super) least: Option<(i64, Option<T>)>,
    /// At most.
    pub(super) most: Option<(i64, Option<T>)>,
}

/// A sum of variables, with its bounds.
#[derive(Debug, Clone)]
pub(super) struct Sum<T> {
    /// Which variables, each as often.
    pub(super) terms: Vec<(usize, i64)>,
    /// Between which it has to lie.
    pub(super) bounds: Bounded<T>,
    /// Where it comes from.
    pub(super) from: usize,
}

/// Bounds that cannot all hold, and the rows among them by where they come from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Conflict<T> {
    /// Why each of the bounds is there, where that is said.
    pub(super) why: Vec<T>,
    /// The rows that are part of it.
    pub(super) rows: Vec<usize>,
}

/// How often it turns a row before it gives up.
const MOST_TURNS: usize = 2000;

/// Numbers within all bounds, the first tried being `start`; nothing if it gave up.
///
/// # Errors
/// The bounds that stand against each other.
#[allow(clippy::many_single_char_names)] // the letters of the paper
pub(super) fn fit<T: Clone>(
    start: &[i64],
    variables: &[Bounded<T>],
    sums: &[Sum<T>],
) -> Result<Option<Vec<i64>>, Conflict<T>> {
    let (n, m) = (variables.len(), sums.len());
    let bounds: Vec<&Bounded<T>> = variables.iter().chain(sums.iter().map(|sum| &sum.bounds)).collect();
    let least = |k: usize| bounds[k].least.as_ref().map_or(f64::NEG_INFINITY, |(b, _)| real(*b));
    let most = |k: usize| bounds[k].most.as_ref().map_or(f64::INFINITY, |(b, _)| real(*b));
    for (k, bound) in bounds.iter().enumerate() {
        if let (Some((least, why)), Some((most, other))) = (&bound.least, &bound.most)
            && least > most
        {
            let why = why.iter().chain(other).cloned().collect();
            return Err(Conflict { why, rows: k.checked_sub(n).map(|row| sums[row].from).into_iter().collect() });
        }
    }
    let mut value: Vec<f64> = (0..n).map(|k| real(start[k]).max(least(k)).min(most(k))).collect();
    // one row a sum, over the variables that are free now
    let mut table: Vec<Vec<f64>> = sums
        .iter()
        .map(|sum| {
            let mut row = vec![0.0; n];
            for (at, times) in &sum.terms {
                row[*at] += real(*times);
            }
            row
        })
        .collect();
    for row in &table {
        let sum = row.iter().zip(&value).map(|(a, x)| a * x).sum();
        value.push(sum);
    }
    let mut free: Vec<usize> = (0..n).collect();
    let mut basic: Vec<usize> = (n..n + m).collect();
    for _ in 0..MOST_TURNS {
        let wrong = (0..m)
            .filter(|row| {
                value[basic[*row]] < least(basic[*row]) - NEAR || value[basic[*row]] > most(basic[*row]) + NEAR
            })
            .min_by_key(|row| basic[*row]);
        let Some(row) = wrong else {
            return Ok(Some(value[..n].iter().map(|x| whole(*x)).collect()));
        };
        let k = basic[row];
        let up = value[k] < least(k) - NEAR;
        let wanted = if up { least(k) } else { most(k) };
        let can = |column: usize| {
            let (a, j) = (table[row][column], free[column]);
            let rises = (a > 0.0) == up;
            a.abs() > NEAR && if rises { value[j] < most(j) - NEAR } else { value[j] > least(j) + NEAR }
        };
        let Some(column) = (0..n).filter(|column| can(*column)).min_by_key(|column| free[*column]) else {
            let mut why = Vec::new();
            let mut rows = Vec::new();
            let mut blame = |k: usize, low: bool| {
                let bound = if low { &bounds[k].least } else { &bounds[k].most };
                why.extend(bound.iter().filter_map(|(_, why)| why.clone()));
                rows.extend(k.checked_sub(n).map(|row| sums[row].from));
            };
            blame(k, up);
            for column in 0..n {
                let a = table[row][column];
                if a.abs() > NEAR {
                    blame(free[column], (a > 0.0) != up);
                }
            }
            return Err(Conflict { why, rows });
        };
        // the free variable takes up the difference, and changes places with the row's
        let (a, j) = (table[row][column], free[column]);
        let by = (wanted - value[k]) / a;
        value[k] = wanted;
        value[j] += by;
        for other in (0..m).filter(|other| *other != row) {
            value[basic[other]] += table[other][column] * by;
        }
        for (at, cell) in table[row].iter_mut().enumerate() {
            *cell = if at == column { 1.0 / a } else { -*cell / a };
        }
        let turned = table[row].clone();
        for other in (0..m).filter(|other| *other != row) {
            let times = table[other][column];
            if times.abs() > NEAR {
                for (at, cell) in table[other].iter_mut().enumerate() {
                    *cell = if at == column { times * turned[at] } else { *cell + times * turned[at] };
                }
            }
        }
        (basic[row], free[column]) = (j, k);
    }
    Ok(None)
}

/// Two numbers that are this near are one: all of them are whole, up to halves.
const NEAR: f64 = 1e-6;

#[allow(clippy::cast_precision_loss)] // steps of a length: far below 2^53
fn real(n: i64) -> f64 {
    n as f64
}

#[allow(clippy::cast_possible_truncation)] // far below 2^53
fn whole(x: f64) -> i64 {
    x.round() as i64
}
