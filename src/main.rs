//! The binary: hands the process's own arguments and streams to the library.

/// A long import takes and gives back millions of small pieces of memory: a quarter faster from this hand.
#[global_allocator]
static MEMORY: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> std::process::ExitCode {
    bincard::cmd::desk::run_process()
}
