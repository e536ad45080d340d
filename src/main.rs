//! The program. All it does stands in the library's `command`.

fn main() -> std::process::ExitCode {
    clickwise::command::main()
}
