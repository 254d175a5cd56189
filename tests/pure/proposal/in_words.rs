//! Money in words, held against another library.

use crossfall::proposal::{grouped, money_in_figures, money_in_words, number_in_words};
use crossfall::quantity::money::{Amount, Currency};

fn currency(code: &str) -> Currency {
    Currency::of_code(code).expect("a currency")
}

fn amount(text: &str) -> Amount {
    Amount::parse(text).expect("an amount")
}

/// Words of `num2words` 0.5.14 for Python (`num2words(n)`), its "and" and its commas taken out, as US English
/// has it; every number to 121, round ones, and random ones to 18 digits.
#[test]
fn numbers_read_as_another_library_reads_them() {
    let table = include_str!("../../data/number-words.csv");
    let mut count = 0;
    for row in table.lines().skip(1) {
        let (number, words) = row.split_once(',').expect("two columns");
        let number = number.parse().expect("a number");
        assert_eq!(number_in_words(number), words);
        count += 1;
    }
    assert!(count > 200);
    assert!(number_in_words(u64::MAX).starts_with("eighteen quintillion"));
}

/// Places after the point: ISO 4217, from memory (USD 2, JPY 0, KWD 3).
#[test]
fn money_says_its_parts_as_its_currency_has_them() {
    for (code, text, words, figures) in [
        (
            "USD",
            "8076.59",
            "eight thousand seventy-six US dollars and fifty-nine cents",
            "USD 8,076.59",
        ),
        ("USD", "1.01", "one US dollar and one cent", "USD 1.01"),
        ("USD", "0.00", "zero US dollars and zero cents", "USD 0.00"),
        (
            "USD",
            "-310.00",
            "minus three hundred ten US dollars and zero cents",
            "USD -310.00",
        ),
        (
            "JPY",
            "1234567",
            "one million two hundred thirty-four thousand five hundred sixty-seven yen",
            "JPY 1,234,567",
        ),
        (
            "KWD",
            "2500.075",
            "two thousand five hundred Kuwaiti dinars and seventy-five fils",
            "KWD 2,500.075",
        ),
        ("SEK", "100.05", "one hundred and 05/100 SEK", "SEK 100.05"),
        (
            "BHD",
            "100.005",
            "one hundred and 005/1000 BHD",
            "BHD 100.005",
        ),
        ("KRW", "5000", "five thousand KRW", "KRW 5,000"),
    ] {
        let (currency, amount) = (currency(code), amount(text));
        assert_eq!(money_in_words(amount, &currency), words);
        assert_eq!(money_in_figures(amount, &currency), figures);
    }
}

#[test]
fn thousands_are_parted_and_nothing_else_is() {
    for (text, figures) in [
        ("999.99", "999.99"),
        ("1000", "1,000"),
        ("-1000.5", "-1,000.5"),
        ("123456789.00", "123,456,789.00"),
        ("-999", "-999"),
    ] {
        assert_eq!(grouped(amount(text)), figures);
    }
}
