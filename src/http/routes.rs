//! Registering a handler: with the server, or with the document that describes it.
//!
//! Invariant: one list of routes serves both, so that neither has a path that the other has not.
//! Describing every route takes a hundred times as long as serving it, so that a worker, of which
//! there are several, never does. Absent: the list itself.

use super::base_path::BasePath;
use super::document;
use super::unmatched::Methods;
use actix_web::{dev::HttpServiceFactory, web};
use std::sync::OnceLock;
use utoipa_actix_web::{OpenApiFactory, service_config::ServiceConfig};

/// Where handlers are registered.
pub enum Routes<'a, 's> {
    /// The server of one worker.
    Served(&'a mut web::ServiceConfig),
    /// The OpenAPI document.
    Described(&'a mut ServiceConfig<'s>),
    /// The schemas of the document before those of one name become one.
    #[cfg(test)]
    Gathered(&'a mut super::document::Gathered),
}

impl Routes<'_, '_> {
    /// Registers a handler.
    pub fn service<F>(&mut self, handler: F) -> &mut Self
    where
        F: HttpServiceFactory + OpenApiFactory + 'static,
    {
        match self {
            Self::Served(config) => drop(config.service(handler)),
            Self::Described(config) => drop(config.service(handler)),
            #[cfg(test)]
            Self::Gathered(schemas) => handler.schemas(schemas),
        }
        self
    }
}

/// What is known of the routes from their document, which is made when it is first asked for.
pub(super) struct Described {
    routes: fn(&mut Routes<'_, '_>),
    base: BasePath,
    made: OnceLock<(String, Methods)>,
}

impl Described {
    pub(super) fn of(routes: fn(&mut Routes<'_, '_>)) -> Self {
        Self::below(BasePath::default(), routes)
    }

    pub(super) const fn below(base: BasePath, routes: fn(&mut Routes<'_, '_>)) -> Self {
        Self {
            routes,
            base,
            made: OnceLock::new(),
        }
    }

    fn made(&self) -> &(String, Methods) {
        self.made.get_or_init(|| {
            let mut document = document::document(self.routes);
            self.base.tell(&mut document);
            (document::print(&document), Methods::of(&document))
        })
    }

    /// The document as it is served.
    pub(super) fn text(&self) -> &str {
        &self.made().0
    }

    /// The methods of each path.
    pub(super) fn methods(&self) -> &Methods {
        &self.made().1
    }
}
