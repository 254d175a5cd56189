//! The web room: thin. One file a resource holds its wire types and handlers.
//!
//! Invariants: only [`problem`] names a status code for a refusal; the served OpenAPI document, the
//! printed one and the table of methods come from one list, [`routes`]. Absent: SQL, outbound
//! calls, arithmetic, environment, clock.

pub mod answer;
pub mod audit;
pub mod base_path;
pub mod batch;
pub mod body;
pub mod bounds;
mod closing;
pub mod compare;
pub mod computing;
pub mod connections;
pub mod crew_hours;
pub mod deliveries;
pub mod document;
pub mod drawings;
pub mod estimates;
mod extract;
mod figures;
pub mod forecast;
pub mod foreman_sheet;
pub mod format;
pub mod gate;
pub mod grade_sheet;
pub mod handovers;
pub mod health;
mod idempotency_key;
mod invoices;
pub mod job_costs;
mod journals;
pub mod keys;
pub mod limits;
pub mod load;
pub mod load_plan;
mod media;
pub mod metrics;
pub mod origin;
mod pace;
mod pages;
mod paper;
pub mod pour_plan;
pub mod price_books;
pub mod problem;
pub mod proposals;
pub mod proxies;
mod quotations;
pub mod ramps;
mod rate;
mod rates;
mod reason;
pub mod request_id;
pub mod roles;
mod routes;
mod rule_sets;
mod shape;
mod shed;
mod short_form;
pub mod survey;
pub mod takeoff;
pub mod today;
mod unmatched;

use crate::book::{AccessStore, Books};
use crate::clients::{delivery::Destinations, forecast::Forecasts};
use crate::meter::Meter;
use crate::rules::RuleSets;
use actix_web::{
    App, Error,
    body::BoxBody,
    dev::{ServiceFactory, ServiceRequest, ServiceResponse},
    middleware::{Compress, from_fn},
    web::{self, Data},
};
use std::sync::Arc;

pub use routes::Routes;

/// Every documented resource; add a line for yours.
pub fn routes(config: &mut Routes<'_, '_>) {
    config.service(health::get_livez);
    config.service(health::get_readyz);
    config.service(metrics::get_metrics);
    config.service(ramps::post_ramp_check);
    config.service(grade_sheet::post_grade_sheet);
    config.service(drawings::post_drawing);
    config.service(foreman_sheet::post_foreman_sheet);
    config.service(survey::post_survey);
    config.service(takeoff::post_takeoff);
    config.service(load_plan::post_load_plan);
    config.service(crew_hours::post_crew_hours);
    config.service(pour_plan::post_pour_plan);
    config.service(estimates::post_estimate);
    config.service(compare::post_estimates_compare);
    config.service(job_costs::post_job_costs);
    config.service(proposals::post_proposal);
    config.service(batch::post_batch);
    config.service(handovers::post_handover);
    config.service(deliveries::post_delivery);
    config.service(invoices::post_invoice);
    config.service(invoices::post_credit_note);
    config.service(journals::post_journal);
    config.service(quotations::post_quotation);
    config.service(proposals::post_proposal);
    config.service(short_form::get_short_form);
    config.service(rule_sets::get_rule_sets);
    config.service(rule_sets::get_rule_set);
    config.service(rates::get_rates);
    figures::configure(config);
    price_books::configure(config);
    config.service(audit::get_audit);
}

/// What the handlers are given; built once by `startup`, shared by all workers.
#[derive(Clone)]
pub struct Surroundings {
    gate: Data<gate::Gate>,
    readiness: Data<health::Readiness>,
    today: Data<today::Today>,
    load: Data<load::Load>,
    batches: Data<batch::Batches>,
    described: Data<routes::Described>,
    rules: Data<RuleSets>,
    books: Option<Data<Books>>,
    access: Option<Data<dyn AccessStore>>,
    forecasts: Data<Forecasts>,
    destinations: Data<Destinations>,
    base: base_path::BasePath,
    proxies: Data<proxies::Proxies>,
    meter: Data<Meter>,
    counters: Data<metrics::Place>,
    routes: fn(&mut Routes<'_, '_>),
}

impl Surroundings {
    /// Surroundings for a list of routes, usually [`routes`].
    pub fn new(
        routes: fn(&mut Routes<'_, '_>),
        gate: gate::Gate,
        readiness: health::Readiness,
        today: today::Today,
    ) -> Self {
        Self {
            gate: Data::new(gate),
            readiness: Data::new(readiness),
            today: Data::new(today),
            load: Data::default(),
            batches: Data::new(batch::Batches::start()),
            described: Data::new(routes::Described::of(routes)),
            rules: Data::new(RuleSets::built_in().clone()),
            books: None,
            access: None,
            forecasts: Data::new(Forecasts::none()),
            destinations: Data::default(),
            base: base_path::BasePath::default(),
            proxies: Data::default(),
            meter: Data::default(),
            counters: Data::default(),
            routes,
        }
    }

    /// The same with the price books that handlers read.
    #[must_use]
    pub fn with_books(self, books: Arc<Books>) -> Self {
        Self {
            books: Some(Data::from(books)),
            ..self
        }
    }

    /// The same with other rule sets than those that come with the program.
    #[must_use]
    pub fn with_rules(self, rules: RuleSets) -> Self {
        Self {
            rules: Data::new(rules),
            ..self
        }
    }

    /// The same with the audit that one handler reads.
    #[must_use]
    pub fn with_access(self, access: Arc<dyn AccessStore>) -> Self {
        Self {
            access: Some(Data::from(access)),
            ..self
        }
    }

    /// The same with the forecasts that a job may name.
    #[must_use]
    pub fn with_forecasts(self, forecasts: Forecasts) -> Self {
        Self {
            forecasts: Data::new(forecasts),
            ..self
        }
    }

    /// The same with the destinations that a document may be sent to.
    #[must_use]
    pub fn with_destinations(self, destinations: Destinations) -> Self {
        Self {
            destinations: Data::new(destinations),
            ..self
        }
    }

    /// The same, counted and bounded by this load.
    #[must_use]
    pub fn bearing(self, load: Arc<load::Load>) -> Self {
        Self {
            load: Data::from(load),
            ..self
        }
    }

    /// What there is to do at this moment.
    pub fn load(&self) -> Arc<load::Load> {
        self.load.clone().into_inner()
    }

    /// The same below a base path.
    #[must_use]
    pub fn below(self, base: base_path::BasePath) -> Self {
        Self {
            described: Data::new(routes::Described::below(base.clone(), self.routes)),
            base,
            ..self
        }
    }

    /// The same behind proxies whose word counts.
    #[must_use]
    pub fn behind(self, proxies: proxies::Proxies) -> Self {
        Self {
            proxies: Data::new(proxies),
            ..self
        }
    }

    /// The same, counted by a meter that is read at this place.
    #[must_use]
    pub fn counted_by(self, meter: Arc<Meter>, place: metrics::Place) -> Self {
        Self {
            meter: Data::from(meter),
            counters: Data::new(place),
            ..self
        }
    }

    fn give_stores(&self, config: &mut web::ServiceConfig) {
        if let Some(books) = &self.books {
            config.app_data(books.clone());
        }
        if let Some(access) = &self.access {
            config.app_data(access.clone());
        }
    }
}

/// The application of one worker.
///
/// A request passes the layers from the last to the first: answers get their shape outside of
/// compression, a call is turned away before anything is done for it, the time limit holds all that
/// is ours, and the gate stands before the router.
pub fn app(
    with: &Surroundings,
) -> App<
    impl ServiceFactory<
        ServiceRequest,
        Config = (),
        Response = ServiceResponse<BoxBody>,
        Error = Error,
        InitError = (),
    > + use<>,
> {
    App::new()
        .configure(|config| (with.routes)(&mut Routes::Served(config)))
        .configure(|config| with.give_stores(config))
        .configure(pages::configure)
        .configure(extract::configure)
        .app_data(with.gate.clone())
        .app_data(with.readiness.clone())
        .app_data(with.today.clone())
        .app_data(with.load.clone())
        .app_data(Data::<pace::Pace>::default())
        .app_data(with.batches.clone())
        .app_data(with.described.clone())
        .app_data(with.rules.clone())
        .app_data(with.forecasts.clone())
        .app_data(with.destinations.clone())
        .app_data(Data::new(with.base.clone()))
        .app_data(with.proxies.clone())
        .app_data(with.meter.clone())
        .app_data(with.counters.clone())
        .default_service(web::to(unmatched::answer_unmatched))
        .wrap(from_fn(gate::pass_gate))
        .wrap(from_fn(limits::hold_to_time))
        .wrap(Compress::default())
        .wrap(from_fn(shed::shed))
        .wrap(from_fn(shape::shape_answer))
        .wrap(from_fn(metrics::count_answer))
        .wrap(from_fn(connections::attend))
        .wrap(from_fn(closing::close_when_stopping))
}
