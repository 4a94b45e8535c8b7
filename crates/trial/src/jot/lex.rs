//! A line as tokens that remember where they stood.

/// What a token is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// Letters and what joins them.
    Word,
    /// Digits with at most one decimal sign, and a sign where no number stands before.
    Number,
    /// Text in double quotes, without them.
    Quoted,
    /// Anything else.
    Symbol,
}

/// One token.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Token {
    pub(super) kind: Kind,
    /// As typed; quotes taken off.
    pub(super) text: String,
    /// In lower case, for look-ups.
    pub(super) lower: String,
    /// First character in the line.
    pub(super) at: usize,
    /// Characters, quotes included.
    pub(super) width: usize,
}

impl Token {
    pub(super) fn end(&self) -> usize {
        self.at + self.width
    }
}

/// A quote that is never closed, at this character.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Unclosed(pub(super) usize);

pub(super) fn is_quote(c: char) -> bool {
    matches!(c, '"' | '\u{201c}' | '\u{201d}' | '\u{201e}')
}

/// The tokens of `chars[from..to]`; positions count from the start of the line.
pub(super) fn tokens(chars: &[char], from: usize, to: usize) -> Result<Vec<Token>, Unclosed> {
    let mut found: Vec<Token> = Vec::new();
    let mut i = from;
    while i < to {
        if chars[i].is_whitespace() || chars[i].is_control() {
            i += 1;
            continue;
        }
        let after_number = found.last().is_some_and(|t| t.kind == Kind::Number);
        let (kind, end) = scan(&chars[..to], i, after_number)?;
        let inner = if kind == Kind::Quoted {
            &chars[i + 1..end - 1]
        } else {
            &chars[i..end]
        };
        let text: String = inner.iter().collect();
        found.push(Token {
            kind,
            lower: text.to_lowercase(),
            text,
            at: i,
            width: end - i,
        });
        i = end;
    }
    Ok(found)
}

/// Kind and end of the token that begins at `i`.
fn scan(chars: &[char], i: usize, after_number: bool) -> Result<(Kind, usize), Unclosed> {
    let at = |k: usize| chars.get(k).copied().unwrap_or(' ');
    let c = at(i);
    if is_quote(c) {
        let close = (i + 1..chars.len()).find(|k| is_quote(chars[*k]));
        return close.map(|k| (Kind::Quoted, k + 1)).ok_or(Unclosed(i));
    }
    let digit_at = |k: usize| at(k).is_ascii_digit();
    let begins_number = |k: usize| digit_at(k) || (matches!(at(k), '.' | ',') && digit_at(k + 1));
    let signed = matches!(c, '-' | '+' | '\u{2212}') && begins_number(i + 1) && !after_number;
    if signed || (begins_number(i) && c != ',') {
        let mut k = i + 1;
        while digit_at(k) || (matches!(at(k), '.' | ',') && digit_at(k + 1)) {
            k += 1;
        }
        return Ok((Kind::Number, k));
    }
    if is_letter(c) {
        let mut k = i + 1;
        while is_letter(at(k)) {
            k += 1;
        }
        // Spaces are free: in `7.5h60%` the unit ends where the next number begins.
        let letters: String = chars[i..k].iter().collect();
        if after_number && digit_at(k) && quantity::Unit::from_word(&letters).is_some() {
            return Ok((Kind::Word, k));
        }
        while is_letter(at(k)) || at(k).is_numeric() || joins(chars, k) {
            k += 1;
        }
        return Ok((Kind::Word, k));
    }
    let pair: String = [c, at(i + 1)].iter().collect();
    let triple = pair == "+/" && matches!(at(i + 2), '-' | '\u{2212}');
    let width = match pair.as_str() {
        _ if triple => 3,
        ">=" | "<=" | "+-" => 2,
        _ => 1,
    };
    Ok((Kind::Symbol, i + width))
}

fn is_letter(c: char) -> bool {
    c.is_alphabetic() || c == '\u{b0}' || c == '_'
}

/// Whether `chars[k]` joins two parts of one word: `top-up`, `mg/L`, `MgSO4.7H2O`, `Wendt's`.
fn joins(chars: &[char], k: usize) -> bool {
    let next = chars.get(k + 1).copied().unwrap_or(' ');
    match chars.get(k) {
        Some('-' | '.' | '\'' | '\u{2019}') => is_letter(next) || next.is_numeric(),
        Some('/') => is_letter(next),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(line: &str) -> Vec<String> {
        let chars: Vec<char> = line.chars().collect();
        tokens(&chars, 0, chars.len())
            .unwrap()
            .into_iter()
            .map(|t| t.text)
            .collect()
    }

    #[test]
    fn numbers_units_and_ranges_come_apart() {
        assert_eq!(texts("kno3 1,2g"), ["kno3", "1,2", "g"]);
        assert_eq!(texts("6-12"), ["6", "-", "12"]);
        assert_eq!(texts("6 -12"), ["6", "-", "12"]);
        assert_eq!(texts("on -60 min"), ["on", "-60", "min"]);
        assert_eq!(texts("7, 5"), ["7", ",", "5"]);
        assert_eq!(texts("40%"), ["40", "%"]);
        assert_eq!(texts("3+"), ["3", "+"]);
        assert_eq!(texts("~6.8 +/- 0.1"), ["~", "6.8", "+/-", "0.1"]);
        assert_eq!(texts("220 l/h top-up"), ["220", "l/h", "top-up"]);
    }

    #[test]
    fn quotes_keep_their_text_and_must_close() {
        assert_eq!(texts("swap \"old lamp\" x"), ["swap", "old lamp", "x"]);
        let chars: Vec<char> = "a \"b".chars().collect();
        assert_eq!(tokens(&chars, 0, 4), Err(Unclosed(2)));
    }
}
