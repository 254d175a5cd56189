//! Entry point: everything it does stands in `crossfall::cli`.

#[actix_web::main]
async fn main() -> std::process::ExitCode {
    crossfall::cli::run().await
}
