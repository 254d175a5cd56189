//! A small reader of PDF files, so that what was written is read by something that did not write it.
//!
//! Follows ISO 32000-1:2008 (7.3.4 strings, 7.3.8 streams, 8.3.4 and 9.4 matrices and text; from memory)
//! as far as a page of lines and letters needs. Absent: more than one font in a file.

use std::collections::BTreeMap;
use std::io::Read;

/// A matrix as PDF writes it: x' = a x + c y + e, y' = b x + d y + f.
type Matrix = [f64; 6];

/// One operator of a page with what stands before it.
#[derive(Debug)]
pub(super) struct Operation {
    pub(super) name: String,
    pub(super) numbers: Vec<f64>,
    codes: Vec<u16>,
}

/// Words as they stand on a page: where they begin in points from its lower left corner, and which way
/// they run.
#[derive(Debug)]
pub(super) struct Words {
    pub(super) words: String,
    pub(super) at: [f64; 2],
    pub(super) way: [f64; 2],
}

/// What the streams of a file hold, those that are not compressed left out.
pub(super) fn streams(file: &[u8]) -> Vec<Vec<u8>> {
    let mut found = Vec::new();
    let mut from = 0;
    while let Some(at) = find(&file[from..], b"stream\n") {
        let begins = from + at + b"stream\n".len();
        let mut bytes = Vec::new();
        let mut packed = flate2::read::ZlibDecoder::new(&file[begins..]);
        if packed.read_to_end(&mut bytes).is_ok() {
            found.push(bytes);
        }
        from = begins;
    }
    found
}

/// The operators of the pages of a file, in their order.
pub(super) fn operations(file: &[u8]) -> Vec<Operation> {
    let pages = streams(file).into_iter().filter(|stream| {
        let begins = |with: &[u8]| stream.starts_with(with);
        begins(b"q") || begins(b"BT") || begins(b"1 0 0 -1")
    });
    pages.flat_map(|page| read_operations(&page)).collect()
}

/// The words of a file of one font.
pub(super) fn words(file: &[u8]) -> Vec<Words> {
    const STILL: Matrix = [1.0, 0.0, 0.0, 1.0, 0.0, 0.0];
    let letters = letters(file);
    let (mut space, mut text, mut kept) = (STILL, STILL, Vec::new());
    let mut found = Vec::new();
    for operation in operations(file) {
        match operation.name.as_str() {
            "q" => kept.push(space),
            "Q" => space = kept.pop().expect("as many q as Q"),
            "cm" => space = product(matrix(&operation), space),
            "Tm" => text = product(matrix(&operation), space),
            "TJ" | "Tj" => found.push(Words {
                words: operation
                    .codes
                    .iter()
                    .map(|code| letters.get(code).map_or("<no letter>", String::as_str))
                    .collect(),
                at: [text[4], text[5]],
                way: [text[0], text[1]],
            }),
            _ => {}
        }
    }
    found
}

fn find(bytes: &[u8], wanted: &[u8]) -> Option<usize> {
    bytes.windows(wanted.len()).position(|part| part == wanted)
}

fn matrix(operation: &Operation) -> Matrix {
    let numbers = operation.numbers.as_slice();
    numbers.try_into().expect("a matrix has six numbers")
}

fn product(first: Matrix, then: Matrix) -> Matrix {
    let [a, b, c, d, e, f] = then;
    let turned = |x: f64, y: f64| [x * a + y * c, x * b + y * d];
    let [p, q] = turned(first[0], first[1]);
    let [r, s] = turned(first[2], first[3]);
    let [t, u] = turned(first[4], first[5]);
    [p, q, r, s, t + e, u + f]
}

/// Which letters a code of the font stands for: rows like `<0001> <0032>` of the map to Unicode.
fn letters(file: &[u8]) -> BTreeMap<u16, String> {
    let mut letters = BTreeMap::new();
    for map in streams(file) {
        let map = String::from_utf8_lossy(&map).into_owned();
        let rows = map.lines().filter_map(|row| row.split_once("> <"));
        for (code, letter) in rows.filter(|_| map.contains("beginbfchar")) {
            let code = hexadecimal(code.trim_start_matches('<'));
            let letter = hexadecimal(letter.trim_end_matches('>'));
            letters.insert(code[0], String::from_utf16_lossy(&letter));
        }
    }
    letters
}

/// Numbers of sixteen bits, four digits each.
fn hexadecimal(digits: &str) -> Vec<u16> {
    let digits: Vec<char> = digits.chars().filter(char::is_ascii_hexdigit).collect();
    let four = |four: &[char]| u16::from_str_radix(&four.iter().collect::<String>(), 16);
    let parts = digits.chunks(4);
    parts.map(|part| four(part).expect("four digits")).collect()
}

fn read_operations(page: &[u8]) -> Vec<Operation> {
    let mut rest = page;
    let (mut numbers, mut codes, mut found) = (Vec::new(), Vec::new(), Vec::new());
    while let Some((first, after)) = rest.split_first() {
        rest = after;
        match first {
            b'(' => codes.extend(pairs(&literal(&mut rest))),
            b'<' => {
                let end = find(rest, b">").expect("a string ends");
                codes.extend(hexadecimal(&String::from_utf8_lossy(&rest[..end])));
                rest = &rest[end + 1..];
            }
            b'[' | b']' | b'/' => {}
            byte if byte.is_ascii_whitespace() => {}
            _ => {
                let token = token(*first, &mut rest);
                if let Ok(number) = token.parse::<f64>() {
                    numbers.push(number);
                } else {
                    found.push(Operation {
                        name: token,
                        numbers: std::mem::take(&mut numbers),
                        codes: std::mem::take(&mut codes),
                    });
                }
            }
        }
    }
    found
}

fn token(first: u8, rest: &mut &[u8]) -> String {
    let ends = |byte: &u8| byte.is_ascii_whitespace() || b"()<>[]/".contains(byte);
    let end = rest.iter().position(ends).unwrap_or(rest.len());
    let (more, after) = rest.split_at(end);
    *rest = after;
    format!("{}{}", char::from(first), String::from_utf8_lossy(more))
}

/// The bytes of a string in parentheses, of which the first has been read.
fn literal(rest: &mut &[u8]) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut open = 1;
    while open > 0 {
        let byte = taken(rest);
        match byte {
            b'\\' => bytes.push(escaped(rest)),
            b'(' => open += 1,
            b')' => open -= 1,
            _ => {}
        }
        if byte != b'\\' && open > 0 {
            bytes.push(byte);
        }
    }
    bytes
}

fn escaped(rest: &mut &[u8]) -> u8 {
    match taken(rest) {
        b'n' => b'\n',
        b'r' => b'\r',
        b't' => b'\t',
        b'b' => 8,
        b'f' => 12,
        digit @ b'0'..=b'7' => {
            let mut value = u32::from(digit - b'0');
            for _ in 0..2 {
                value = value * 8 + u32::from(taken(rest) - b'0');
            }
            u8::try_from(value).expect("three octal digits of a byte")
        }
        other => other,
    }
}

fn taken(rest: &mut &[u8]) -> u8 {
    let (first, after) = rest.split_first().expect("a string ends");
    *rest = after;
    *first
}

fn pairs(bytes: &[u8]) -> Vec<u16> {
    let pair = |pair: &[u8]| u16::from_be_bytes([pair[0], pair[1]]);
    bytes.chunks_exact(2).map(pair).collect()
}
