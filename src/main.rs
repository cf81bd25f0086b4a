fn main() -> std::process::ExitCode {
    boltfolio::desk::main()
}
