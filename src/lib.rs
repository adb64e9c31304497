//! wallfoot reads a house wall before (or after) something is built against its foot, and says whether the
//! water behind the cladding still gets out.
//!
//! The way through the crate, in reading order:
//!
//! 1. [`units`]: lengths and slopes, exact in inches and millimetres.
//! 2. [`flow`]: YAML question flows become questions, conditions and answers in three-valued logic.
//! 3. [`interview`] asks them, [`terminal`] is how it looks, [`visit`] keeps the answers on disk.
//! 4. [`names`]: every name of the content that the program computes with. [`site`] is the one crossing from
//!    answers to building terms.
//! 5. [`wall`]: heights, limits, steps. It knows nothing of questions.
//! 6. [`water`]: where a drop goes, how much there is. [`work`]: order, days, quantities.
//! 7. [`solve`]: formulas of yes and no, put to a SAT solver. [`content`]: everything in `questions/`, loaded and checked. [`judge`]: content and answers in, plain data out.
//! 8. [`say`] puts that into sentences, [`sheet`] onto paper, [`report`] into JSON. [`prove`] looks at the content over all answers.
//! 9. [`render`]: a sheet in, text out. [`commands`]: the command line.
//!
//! ```
//! use wallfoot::{content::{Content, Verdict}, flow::Answers, units::Units};
//!
//! let content = Content::load(&wallfoot::commands::sources(None, None)?, None)?;
//! let mut answers = Answers::default();
//! for (id, text) in [("region", "us"), ("stage", "planned"), ("cladding", "vinyl"), ("door", "slides"),
//!     ("exit_way", "down_from_mark"), ("exit_below_mark", "9 in"),
//!     ("finish_way", "down_from_mark"), ("finish_below_mark", "7 in")] {
//!     let number = content.flow.question(id).ok_or(id)?;
//!     answers.set(number, content.flow.questions[number].read_answer(text, Units::Inch)?);
//! }
//! let assessment = content.assess(&answers, Units::Inch);
//! assert_eq!(assessment.settled.verdict, Verdict::ExteriorTradeFirst);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod pack;

pub mod units;

pub mod flow;

pub mod interview;

pub mod terminal;

pub mod visit;

pub mod wall;

pub mod water;

pub mod work;

pub mod solve;

pub mod names;

pub mod site;

pub mod content;

pub mod judge;

pub mod say;

pub mod sheet;

pub mod report;

pub mod prove;

pub mod render;

pub mod commands;
