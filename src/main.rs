//! Arguments in, exit code out.

fn main() -> std::process::ExitCode {
    wallfoot::commands::run(std::env::args_os())
}
