//! The ceiling server: what answering an estimate costs where nothing is computed.
//!
//! Invariants: the same framework and settings as the service; a request is read by the service's own
//! reader into its own type, and the service's own whole answer, prepared once, is serialised for each
//! call. Absent: prices, rules, layers, logs. `benches/serve.sh` starts it and drives it beside the
//! service.

use actix_web::web::{Data, post};
use actix_web::{App, HttpResponse, HttpServer};
use crossfall::book::demo_history;
use crossfall::catalog::{Catalog, PriceList};
use crossfall::crew::Rates;
use crossfall::estimate::{Brief, With, estimate};
use crossfall::http::answer::{EstimateAnswer, View};
use crossfall::http::body::Sent;
use crossfall::http::format::answer_json;
use crossfall::http::problem::ApiError;
use crossfall::job::{Day, JobRequest};
use crossfall::quantity::System;
use crossfall::rules::RuleSets;
use crossfall::takeoff::Detail;
use std::sync::Arc;

/// The allocator of the service.
#[cfg(unix)]
#[global_allocator]
static ALLOCATOR: tikv_jemallocator::Jemalloc = tikv_jemallocator::Jemalloc;

const JOB: &str = include_str!("../examples/l-shape.json");

async fn answer(
    Sent(sent): Sent<JobRequest>,
    prepared: Data<EstimateAnswer>,
) -> Result<HttpResponse, ApiError> {
    std::hint::black_box(&sent);
    answer_json(&**prepared)
}

fn prepare() -> anyhow::Result<EstimateAnswer> {
    let today = Day(chrono::Utc::now().date_naive());
    let list = PriceList::new(Arc::new(demo_history()?), None, today.0)?;
    let with = With {
        rules: RuleSets::built_in(),
        catalog: Catalog::built_in(),
        rates: Rates::built_in(),
        list: &list,
    };
    let brief = Brief {
        detail: Detail::Described,
        ..Brief::from(serde_json::from_str::<JobRequest>(JOB)?)
    };
    let estimate = estimate(brief, today, with).map_err(|faults| anyhow::anyhow!("{faults}"))?;
    let view = View {
        system: System::Us,
        working: false,
    };
    Ok(EstimateAnswer::of(estimate, view, false))
}

#[actix_web::main]
async fn main() -> anyhow::Result<()> {
    let address = std::env::args().nth(1).unwrap_or_default();
    if !address.starts_with("127.0.0.1:") {
        // As `cargo bench` runs it, without an address: there is nothing to measure by itself.
        return Ok(());
    }
    let prepared = Data::new(prepare()?);
    let app = move || {
        App::new()
            .app_data(prepared.clone())
            .route("/v1/estimates", post().to(answer))
    };
    HttpServer::new(app)
        .tcp_nodelay(true)
        .bind(address)?
        .run()
        .await?;
    Ok(())
}
