//! What can be asked of the run.

use crate::mutants::Kind;
use crate::shipped::Changed;
use crate::sound::Dice;

const HELP: &str = "cargo bench --bench mutation -- [OPTIONS]
  --sample N     only so many, drawn by chance
  --seed N       another draw
  --only WORD    only what carries a verdict (verdict), what does not (advice), or one kind by a word of its name
  --file PART    only files whose path holds this
  --list         print the mutants and try none
  --check        try the table of visits on the content as it is, and no mutant
  --records      list those too that only a record of what is said notices
  --prover       ask the proof over all answers too, last; some seconds for each mutant that nothing else notices
  --thorough     judge every visit, also where the changed row says nothing before and after; slower, the same result
  --threads N    2 unless said";

/// The options, as they were typed.
#[allow(clippy::struct_excessive_bools)] // each is a word of its own
#[derive(Debug, Default)]
pub(crate) struct Arguments {
    sample: Option<usize>,
    seed: u64,
    only: Option<String>,
    file: Option<String>,
    pub(crate) list: bool,
    pub(crate) check: bool,
    pub(crate) records: bool,
    pub(crate) thorough: bool,
    pub(crate) prover: bool,
    pub(crate) threads: usize,
}

impl Arguments {
    pub(crate) fn read(mut words: impl Iterator<Item = String>) -> Result<Arguments, String> {
        let mut read = Arguments { threads: 2, ..Arguments::default() };
        while let Some(word) = words.next() {
            let mut value = || words.next().ok_or_else(|| format!("{word} needs a value\n{HELP}"));
            let number = |text: String| text.parse::<u64>().map_err(|_| format!("`{text}` is no number\n{HELP}"));
            let count = |text: String| number(text).and_then(|n| usize::try_from(n).map_err(|e| e.to_string()));
            match word.as_str() {
                "--sample" => read.sample = Some(count(value()?)?),
                "--seed" => read.seed = number(value()?)?,
                "--only" => read.only = Some(value()?),
                "--file" => read.file = Some(value()?),
                "--threads" => read.threads = count(value()?)?.max(1),
                "--list" => read.list = true,
                "--prover" => read.prover = true,
                "--thorough" => read.thorough = true,
                "--check" => read.check = true,
                "--records" => read.records = true,
                // cargo says this to every benchmark
                "--bench" => {}
                _ => return Err(format!("`{word}` is no option\n{HELP}")),
            }
        }
        Ok(read)
    }

    /// Leaves of all mutants those that were asked for, in their order.
    pub(crate) fn choose(&self, all: &mut Vec<Changed>) {
        let name = |kind: Kind| Kind::ALL.iter().find(|(k, _)| *k == kind).map_or("", |(_, name)| name);
        all.retain(|mutant| {
            let only = self.only.as_deref().is_none_or(|only| match only {
                "verdict" => mutant.carries,
                "advice" => !mutant.carries,
                kind => name(mutant.kind).contains(kind),
            });
            only && self.file.as_ref().is_none_or(|part| mutant.file.contains(part.as_str()))
        });
        let Some(sample) = self.sample else { return };
        let mut dice = Dice::new(self.seed);
        while all.len() > sample {
            all.remove(dice.below(all.len()));
        }
    }
}
