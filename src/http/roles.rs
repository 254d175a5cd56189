//! Which call needs which role: one pure function, for the gate and for the document.
//!
//! Invariants: a path is judged by its first part below `/v1`, so that what stands below inherits
//! it; what is not listed asks for some key and then answers 404; writing to a book needs more than
//! reading it. Absent: keys, and who the caller is.

use crate::book::Role;
use actix_web::http::Method;

/// Paths that answer without a key.
const OPEN: [&str; 6] = ["/", "/livez", "/readyz", "/openapi.json", "/docs", "/docs/"];
/// Everything below answers without a key: the parts of the documentation page.
const OPEN_BELOW: &str = "/docs/";
/// Everything below belongs to a resource.
const RESOURCES: &str = "/v1/";

/// Figures for a spreadsheet.
const FIGURES: &[Role] = &[Role::Cell, Role::Estimate, Role::Prices, Role::Admin];
/// Every computing call, rules and rates as data, and reading of price books.
const COMPUTING: &[Role] = &[Role::Estimate, Role::Prices, Role::Admin];
/// Every write to a price book.
const WRITING: &[Role] = &[Role::Prices, Role::Admin];
/// Sending documents.
const DELIVERING: &[Role] = &[Role::Deliver, Role::Admin];
/// What was written by whom.
const OVERSEEING: &[Role] = &[Role::Admin];

/// What a call asks of its caller.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// Nothing.
    Open,
    /// Some key.
    AnyKey,
    /// A key of one of these roles.
    OneOf(&'static [Role]),
}

impl Need {
    /// Whether a key of this role is enough.
    pub fn allows(self, role: Role) -> bool {
        match self {
            Self::Open | Self::AnyKey => true,
            Self::OneOf(roles) => roles.contains(&role),
        }
    }
}

/// What a call asks of its caller. The path is the one that the router sees, or a template of it.
pub fn needed(method: &Method, path: &str) -> Need {
    if is_open(path) {
        return Need::Open;
    }
    let Some(below) = path.strip_prefix(RESOURCES) else {
        return Need::AnyKey;
    };
    let resource = below.split('/').next().unwrap_or_default();
    match resource {
        // A spreadsheet asks first, without a key, whether it may ask and what it would get.
        "cell" | "row" if method == Method::OPTIONS || method == Method::HEAD => Need::Open,
        "cell" | "row" | "figures" | "short-form" => Need::OneOf(FIGURES),
        "price-books" if !method.is_safe() => Need::OneOf(WRITING),
        "price-books" | "rule-sets" | "rates" | "ramps" | "takeoff" | "crew-hours"
        | "pour-plan" | "estimates" | "load-plan" | "drawings" | "foreman-sheet" | "proposals"
        | "handovers" | "job-costs" | "quotations" | "invoices" | "credit-notes" | "journals" => {
            Need::OneOf(COMPUTING)
        }
        "deliveries" => Need::OneOf(DELIVERING),
        "audit" => Need::OneOf(OVERSEEING),
        _ => Need::AnyKey,
    }
}

/// Whether a path gives figures of a job, so that HEAD answers without working them out.
pub(super) fn is_figure(path: &str) -> bool {
    path == "/v1/row" || path.starts_with("/v1/cell/")
}

/// What a request asks: as it is routed, but open only where it is also spelled openly, so that an
/// unusual spelling of a path opens nothing.
pub(super) fn needed_as_sent(method: &Method, sent: &str, routed: &str) -> Need {
    match needed(method, routed) {
        Need::Open if sent != routed => Need::AnyKey,
        need => need,
    }
}

fn is_open(path: &str) -> bool {
    OPEN.contains(&path) || path.starts_with(OPEN_BELOW)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_listed_asks_for_some_key() {
        for path in [
            "/metrics",
            "/v1",
            "/v1/",
            "/v1/auditx",
            "/v1//audit",
            "/V1/audit",
            "/livez/",
            "//livez",
            "/docsx",
        ] {
            assert_eq!(needed(&Method::GET, path), Need::AnyKey, "{path}");
        }
    }

    #[test]
    fn what_stands_below_a_resource_needs_what_it_needs() {
        for path in ["/v1/audit", "/v1/audit/", "/v1/audit/x/y"] {
            assert_eq!(
                needed(&Method::GET, path),
                Need::OneOf(OVERSEEING),
                "{path}"
            );
        }
        for method in [Method::PUT, Method::POST, Method::DELETE, Method::PATCH] {
            let need = needed(&method, "/v1/price-books/demo/items/x");
            assert_eq!(need, Need::OneOf(WRITING), "{method}");
        }
        for method in [Method::GET, Method::HEAD, Method::OPTIONS] {
            let need = needed(&method, "/v1/price-books/demo/items/x");
            assert_eq!(need, Need::OneOf(COMPUTING), "{method}");
        }
    }

    #[test]
    fn an_unusual_spelling_opens_nothing_and_closes_as_the_usual_one() {
        let need = |sent, routed| needed_as_sent(&Method::GET, sent, routed);
        assert_eq!(need("/livez", "/livez"), Need::Open);
        assert_eq!(need("/%6civez", "/livez"), Need::AnyKey);
        assert_eq!(need("/docs/a%20b", "/docs/a b"), Need::AnyKey);
        assert_eq!(need("/%761/audit", "/v1/audit"), Need::OneOf(OVERSEEING));
    }

    #[test]
    fn a_preflight_of_a_cell_is_open_and_a_read_is_not() {
        assert_eq!(needed(&Method::OPTIONS, "/v1/cell/total"), Need::Open);
        assert_eq!(
            needed(&Method::OPTIONS, "/v1/figures"),
            Need::OneOf(FIGURES)
        );
        assert_eq!(needed(&Method::HEAD, "/v1/cell/total"), Need::Open);
        assert_eq!(needed(&Method::GET, "/v1/cell/total"), Need::OneOf(FIGURES));
        assert_eq!(needed(&Method::HEAD, "/v1/figures"), Need::OneOf(FIGURES));
    }
}
