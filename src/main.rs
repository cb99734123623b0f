//! The binary: hands the process's own arguments and streams to the library.

fn main() -> std::process::ExitCode {
    bincard::cmd::desk::run_process()
}
