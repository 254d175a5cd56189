//! What a store of price books promises: one list, kept on SQLite and on a real Postgres.
//!
//! Invariants: each promise has a database of its own; the Postgres half fails without its server,
//! it never passes by being absent.

mod given;
mod keeping;
mod model;
pub(crate) mod place;
mod writing;

/// Makes a test of each promise for each database.
macro_rules! keep {
    ($($kind:ident::$promise:ident),+ $(,)?) => {
        mod on_sqlite {
            use super::{keeping, model, place::Place, writing};
            $(
                #[tokio::test(flavor = "multi_thread", worker_threads = 2)]
                async fn $promise() {
                    let place = Place::sqlite();
                    $kind::$promise(&place).await;
                    place.check_and_remove().await;
                }
            )+
        }

        mod on_postgres {
            use super::{keeping, model, place::Place, writing};
            $(
                #[tokio::test(flavor = "multi_thread", worker_threads = 2)]
                #[ignore = "needs CROSSFALL_TEST_POSTGRES; the full test command runs it"]
                async fn $promise() {
                    let place = Place::postgres().await;
                    $kind::$promise(&place).await;
                    place.check_and_remove().await;
                }
            )+
        }
    };
}

keep!(
    keeping::an_empty_database_gets_the_demo_book_once,
    keeping::two_first_starts_at_once_make_one_demo_book,
    writing::what_is_put_is_what_is_read,
    keeping::what_is_not_there_is_not_found,
    writing::a_price_of_an_unknown_supplier_is_refused_by_name,
    writing::every_write_makes_one_revision,
    writing::of_two_writers_on_one_item_one_is_told_so,
    writing::writers_on_different_items_all_land_without_a_gap,
    writing::an_item_is_made_once,
    keeping::a_quote_a_year_later_is_the_same,
    keeping::a_pinned_revision_never_sees_a_later_write,
    keeping::the_largest_values_survive,
    keeping::a_restart_keeps_everything,
    writing::a_change_lands_whole_or_not_at_all,
    keeping::the_database_refuses_to_forget,
    keeping::a_reader_sees_whole_revisions_only,
    keeping::another_reader_sees_a_write_when_it_looks_again,
    writing::a_price_that_holds_already_is_not_written_twice,
    model::two_writers_leave_what_a_plain_list_of_their_writes_says,
);
