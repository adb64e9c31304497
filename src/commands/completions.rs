//! `wallfoot completions` and `wallfoot man`: what a shell and a manual reader want to know of the command line.

use super::error::CommandError;
use super::outside::print;
use clap::Args;
use clap_complete::Shell;

#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  wallfoot completions bash\n  wallfoot completions fish")]
pub(super) struct CompletionsArgs {
    /// The shell
    #[arg(value_enum)]
    shell: Shell,
}

#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  wallfoot man\n  wallfoot man advise")]
pub(super) struct ManArgs {
    /// The command that the page is about; otherwise the program as a whole
    #[arg(value_name = "COMMAND")]
    command: Option<String>,
}

/// Prints the script that completes command lines in a shell.
pub(super) fn completions(args: &CompletionsArgs, mut program: clap::Command) -> Result<(), CommandError> {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut program, "wallfoot", &mut script);
    print(&String::from_utf8_lossy(&script))
}

/// Prints a page of the manual, in the form that `man` reads.
pub(super) fn man(args: &ManArgs, mut program: clap::Command) -> Result<(), CommandError> {
    program.build();
    let page = match &args.command {
        None => program,
        Some(name) => {
            let found = program.get_subcommands().find(|command| command.get_name() == name).cloned();
            found.ok_or_else(|| {
                let known = program.get_subcommands().map(|command| command.get_name().to_owned()).collect();
                CommandError::NoCommand { found: name.clone(), known }
            })?
        }
    };
    let mut text = Vec::new();
    clap_mangen::Man::new(page).render(&mut text).map_err(CommandError::Print)?;
    print(&String::from_utf8_lossy(&text))
}
