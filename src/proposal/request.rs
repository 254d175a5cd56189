//! A proposal as it is asked for: the answer of an estimate, who sells, who buys, and the terms.
//!
//! Invariants: unknown fields are refused; only the two names and the answer must be there; every text and
//! number is bounded. Absent: defaults, which are rows.

use crate::answered::Answered;
use crate::billing::{Party, check_number, check_text};
use crate::job::Day;
use crate::quantity::money::{Amount, Currency};
use crate::quantity::{Fault, Faults, Percent};

/// Gives a part of a request its two readers and its schema.
macro_rules! asked {
    ($($(#[$doc:meta])* $name:ident {
        required { $($(#[$rdoc:meta])* $rfield:ident: $rty:ty,)* }
        optional { $($(#[$odoc:meta])* $ofield:ident: $oty:ty,)* }
    })+) => { $(
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, serde::Deserialize, deserr::Deserr)]
        #[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
        #[serde(deny_unknown_fields)]
        #[deserr(error = Faults, deny_unknown_fields)]
        pub struct $name {
            $($(#[$rdoc])* pub $rfield: $rty,)*
            $($(#[$odoc])* #[serde(default)] #[deserr(default)] pub $ofield: Option<$oty>,)*
        }
    )+ };
}

asked! {
    /// A proposal from the priced answer of an estimate. Whatever is left out and defaulted is listed in it.
    ProposalRequest {
        required {
            /// The answer of `POST /v1/estimates?job=true`, as it came.
            estimate: Answered,
            /// Who offers.
            seller: Party,
            /// To whom.
            buyer: Party,
        }
        optional {
            /// Number of the proposal.
            number: String,
            /// Its date, no later than the first day on site; the date of the prices where left out.
            date: Day,
            /// Days for which it is good, from its date; a budget is good for none.
            valid_days: u32,
            /// The seller's mark, PNG or JPEG as base64, at most 200 kB.
            logo: String,
            /// Who may order extra work.
            may_order_extras: String,
            /// What it is priced from; these take second place to the proposal.
            documents: Vec<ProposalPaper>,
            /// What may be added or taken off.
            alternates: Vec<ProposalSum>,
            /// What is in the price and settled at what it comes to.
            allowances: Vec<ProposalSum>,
            /// What else is not included.
            exclusions: Vec<String>,
            /// Terms of the seller's own.
            terms: Vec<String>,
            /// How it is paid.
            payment: ProposalPayment,
            /// Years of warranty on workmanship.
            warranty_years: u32,
            /// Working days of notice to start.
            notice_days: u32,
            /// True for a budget, which may leave lines without a price.
            budget: bool,
            /// Name of the local code, where there is one.
            local_code: String,
            /// False for a proposal without drawings, which an answer without its job allows.
            drawing: bool,
        }
    }

    /// A paper that the price rests on.
    ProposalPaper {
        required {
            /// Its name: a drawing, a specification.
            name: String,
        }
        optional {
            /// Its date, no later than that of the proposal.
            date: Day,
        }
    }

    /// A sum beside the price.
    ProposalSum {
        required {
            /// What it is for.
            description: String,
            /// How much; an alternate that is taken off is below nothing, and no more than the price.
            amount: Amount,
        }
        optional {}
    }

    /// How a proposal is paid.
    ProposalPayment {
        required {}
        optional {
            /// `sub`: monthly with something retained. `prime`: deposit, progress, balance. As the job's scope where left out.
            kind: ProposalScope,
            /// The most that is retained.
            retained: Percent,
            /// Days after the bill.
            net_days: u32,
            /// Day of the month on which is billed.
            billing_day: u32,
            /// What is paid with the order, where the owner is the customer.
            deposit: Percent,
        }
    }
}

/// The scope of the job, which decides how it is usually paid.
pub type ProposalScope = crate::job::Scope;

/// Most characters of a sentence.
const SENTENCE: usize = 400;
/// Most characters of a line.
const LINE: usize = 200;
/// Most entries of a list.
const ENTRIES: usize = 30;

struct Bounds<'a> {
    faults: &'a mut Faults,
}

impl Bounds<'_> {
    fn number(&mut self, at: &str, number: Option<u32>, (least, most): (u32, u32)) {
        if let Some(number) = number.filter(|number| !(least..=most).contains(number)) {
            let accepted = format!("a whole number from {least} to {most}");
            let example = least.max(most.min(30)).to_string();
            let fault = Fault::new(at, number.to_string(), accepted, Some(&example));
            self.faults.push(fault);
        }
    }

    fn percent(&mut self, at: &str, percent: Option<Percent>, most: u32) {
        let Some(percent) = percent else { return };
        let inside =
            percent.fraction() >= 0.0 && percent.fraction() * 100.0 <= f64::from(most) + 1e-9;
        if !inside {
            let accepted = format!("a percentage from 0 % to {most} %");
            let fault = Fault::new(at, percent.to_string(), accepted, Some("10 %"));
            self.faults.push(fault);
        }
    }

    fn count(&mut self, at: &str, count: usize) {
        if count > ENTRIES {
            let accepted = format!("at most {ENTRIES} entries");
            self.faults
                .push(Fault::new(at, format!("{count} entries"), accepted, None));
        }
    }

    fn texts(&mut self, at: &str, texts: Option<&Vec<String>>, most: usize) {
        let texts = texts.map_or(&[][..], Vec::as_slice);
        self.count(at, texts.len());
        for (n, text) in texts.iter().take(ENTRIES).enumerate() {
            check_text(text, most, (&format!("{at}/{n}"), self.faults));
        }
    }

    fn sums(&mut self, at: &str, sums: &[ProposalSum], (currency, taken_off): (&Currency, bool)) {
        self.count(at, sums.len());
        for (n, sum) in sums.iter().take(ENTRIES).enumerate() {
            let at = format!("{at}/{n}");
            check_text(
                &sum.description,
                LINE,
                (&format!("{at}/description"), self.faults),
            );
            let held = sum.amount.in_currency(currency);
            let place = format!("{at}/amount");
            if held != sum.amount {
                let places = currency.exponent();
                let accepted = format!("at most {places} decimals, as {currency} has");
                let example = held.to_string();
                self.faults.push(Fault::new(
                    place,
                    sum.amount.to_string(),
                    accepted,
                    Some(&example),
                ));
            } else if taken_off && held.is_zero() {
                let accepted = "what it adds to the price, or takes off";
                let fault = Fault::new(place, held.to_string(), accepted, Some("-310.00"));
                self.faults.push(fault);
            } else if !taken_off && held.minor() < 0 {
                let found = sum.amount.to_string();
                self.faults.push(Fault::new(
                    place,
                    found,
                    "an amount that the price contains",
                    Some("500.00"),
                ));
            }
        }
    }
}

impl ProposalRequest {
    /// Adds a fault for everything that no proposal can hold.
    pub(super) fn check(&self, currency: &Currency, faults: &mut Faults) {
        self.seller.check("/seller", faults);
        self.buyer.check("/buyer", faults);
        if let Some(number) = &self.number {
            check_number(number, ("/number", faults));
        }
        for (at, text) in [
            ("/may_order_extras", &self.may_order_extras),
            ("/local_code", &self.local_code),
        ] {
            if let Some(text) = text {
                check_text(text, LINE, (at, faults));
            }
        }
        let mut bounds = Bounds { faults };
        bounds.number("/valid_days", self.valid_days, (1, 365));
        bounds.number("/warranty_years", self.warranty_years, (0, 20));
        bounds.number("/notice_days", self.notice_days, (0, 90));
        bounds.texts("/exclusions", self.exclusions.as_ref(), LINE);
        bounds.texts("/terms", self.terms.as_ref(), SENTENCE);
        let documents = self.documents.as_deref().unwrap_or_default();
        bounds.count("/documents", documents.len());
        for (n, paper) in documents.iter().take(ENTRIES).enumerate() {
            check_text(
                &paper.name,
                LINE,
                (&format!("/documents/{n}/name"), bounds.faults),
            );
        }
        bounds.sums("/alternates", self.alternates(), (currency, true));
        bounds.sums("/allowances", self.allowances(), (currency, false));
        if let Some(payment) = &self.payment {
            bounds.percent("/payment/retained", payment.retained, 50);
            bounds.percent("/payment/deposit", payment.deposit, 100);
            bounds.number("/payment/net_days", payment.net_days, (0, 180));
            bounds.number("/payment/billing_day", payment.billing_day, (1, 31));
        }
    }

    pub(super) fn alternates(&self) -> &[ProposalSum] {
        self.alternates.as_deref().unwrap_or_default()
    }

    pub(super) fn allowances(&self) -> &[ProposalSum] {
        self.allowances.as_deref().unwrap_or_default()
    }
}
