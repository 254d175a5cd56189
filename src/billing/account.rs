//! The accounts of a bookkeeper, and which of them a posting asks for.
//!
//! Invariant: no account has a default: what is posted to an account that was not named is a fault. Absent: what an account
//! is called anywhere.

use crate::answered::{LINE_AT_MOST, check_text};
use crate::catalog::{Class, words};
use crate::job::{ByName, sent};
use crate::quantity::{Fault, Faults, pointer_part};

sent! {
    /// The caller's accounts, as the bookkeeping calls them. Only those that are posted to are needed.
    AccountsRequest {
        required {}
        optional {
            /// What customers owe.
            receivable: String,
            /// What they hold back.
            retainage: String,
            /// What was earned.
            income: String,
            /// What was earned, by item of the schedule of values or by cost code.
            #[cfg_attr(feature = "service", schema(value_type = Option<BTreeMap<String, String>>))]
            income_by: ByName<String>,
            /// Sales or value added tax that is owed.
            tax: String,
            /// Deposits of customers.
            deposits: String,
            /// Charges of customers against us.
            back_charges: String,
            /// Where payments come in.
            cash: String,
            /// Budgeted cost by class: material, labour, equipment, fee, sub.
            #[cfg_attr(feature = "service", schema(value_type = Option<BTreeMap<String, String>>))]
            cost: ByName<String>,
            /// What stands against budgeted cost.
            budget: String,
        }
    }
}

words! {
    /// An account that a posting asks for, as a request names it.
    Role {
        /// What customers owe.
        Receivable = "receivable",
        /// What they hold back.
        Retainage = "retainage",
        /// What was earned.
        Income = "income",
        /// Tax that is owed.
        Tax = "tax",
        /// Deposits of customers.
        Deposits = "deposits",
        /// Charges of customers.
        BackCharges = "back_charges",
        /// Where payments come in.
        Cash = "cash",
        /// What stands against budgeted cost.
        Budget = "budget",
    }
}

impl AccountsRequest {
    pub(super) fn check(&self, faults: &mut Faults) {
        for role in Role::ALL {
            if let Some(name) = self.named(*role) {
                let at = format!("/accounts/{}", role.word());
                check_text(name, LINE_AT_MOST, (&at, faults));
            }
        }
        for (field, names) in [("income_by", &self.income_by), ("cost", &self.cost)] {
            for (word, name) in names.iter().flatten() {
                let at = format!("/accounts/{field}/{}", pointer_part(word));
                check_text(name, LINE_AT_MOST, (&at, faults));
            }
        }
        for word in self.cost.iter().flatten().map(|(word, _)| word) {
            if Class::from_word(word).is_none() {
                let at = format!("/accounts/cost/{}", pointer_part(word));
                let accepted = Class::WORDS.join(", ");
                faults.push(Fault::new(at, word, accepted, Some("material")));
            }
        }
    }

    fn named(&self, role: Role) -> Option<&str> {
        let name = match role {
            Role::Receivable => &self.receivable,
            Role::Retainage => &self.retainage,
            Role::Income => &self.income,
            Role::Tax => &self.tax,
            Role::Deposits => &self.deposits,
            Role::BackCharges => &self.back_charges,
            Role::Cash => &self.cash,
            Role::Budget => &self.budget,
        };
        name.as_deref()
    }

    /// The account of a role; a fault, once, where it is not named.
    pub(super) fn of(&self, role: Role, faults: &mut Faults) -> String {
        let at = format!("/accounts/{}", role.word());
        found(self.named(role), at, faults)
    }

    /// The account of what was earned with an item or a cost code.
    pub(super) fn income_of(&self, words: [Option<&str>; 2], faults: &mut Faults) -> String {
        let by = self.income_by.as_ref();
        let own = words.into_iter().flatten().find_map(|word| by?.get(word));
        match own {
            Some(own) => own.clone(),
            None => self.of(Role::Income, faults),
        }
    }

    /// The account of budgeted cost of a class.
    pub(super) fn cost_of(&self, class: Class, faults: &mut Faults) -> String {
        let name = self.cost.as_ref().and_then(|cost| cost.get(class.word()));
        let at = format!("/accounts/cost/{}", class.word());
        found(name.map(String::as_str), at, faults)
    }
}

fn found(name: Option<&str>, at: String, faults: &mut Faults) -> String {
    if let Some(name) = name {
        return name.to_owned();
    }
    if !faults.0.iter().any(|fault| fault.pointer == at) {
        let accepted = "the name of an account, since this journal posts to it";
        faults.push(Fault::new(
            at,
            "nothing",
            accepted,
            Some("Assets:Receivable"),
        ));
    }
    String::new()
}
