//! Questions with very many answers, put to a SAT solver: a formula of yes and no is built once and asked again and again
//! under other assumptions.
//!
//! [`Sat`] holds the formula, [`Lit`] is one statement of it or its opposite, [`Kleene`] one that may also be unknown. The
//! solver itself is the crate batsat; nothing outside of this room knows it.
//!
//! ```
//! use wallfoot::solve::Sat;
//!
//! let mut sat = Sat::new();
//! let (rain, wet) = (sat.fresh(), sat.fresh());
//! sat.clause(&[!rain, wet]); // rain makes wet
//! assert!(sat.can(&[rain]) && sat.holds(wet));
//! assert!(!sat.can(&[rain, !wet]));
//! assert_eq!(sat.against().len(), 2); // both together are what cannot be
//! ```

mod kleene;
mod lit;
mod sat;
mod store;
mod window;

pub use kleene::Kleene;
pub use lit::Lit;
pub use sat::Sat;
