//! Texts with places to fill: the one way in which a number or a word gets into a sentence of the content.

/// The names in `{…}` of a text, in order. `{{` is a brace. An unclosed brace ends the search.
#[must_use]
pub fn placeholders(text: &str) -> Vec<&str> {
    let mut found = Vec::new();
    let mut rest = text;
    while let Some(open) = rest.find('{') {
        rest = &rest[open + 1..];
        if let Some(after) = rest.strip_prefix('{') {
            rest = after;
            continue;
        }
        let Some(close) = rest.find('}') else { break };
        found.push(&rest[..close]);
        rest = &rest[close + 1..];
    }
    found
}

/// Replaces `{name}`; `{{` is a brace. A name without a value stays as it stands.
#[must_use]
pub fn fill(text: &str, value: &dyn Fn(&str) -> Option<String>) -> String {
    if !text.contains('{') {
        return text.to_owned();
    }
    let mut filled = String::with_capacity(text.len() + 16);
    let mut rest = text;
    while let Some(open) = rest.find('{') {
        filled.push_str(&rest[..open]);
        rest = &rest[open + 1..];
        if let Some(after) = rest.strip_prefix('{') {
            filled.push('{');
            rest = after;
            continue;
        }
        let Some(close) = rest.find('}') else {
            filled.push('{');
            continue;
        };
        if let Some(shown) = value(&rest[..close]) {
            filled.push_str(&shown);
        } else {
            filled.push('{');
            filled.push_str(&rest[..=close]);
        }
        rest = &rest[close + 1..];
    }
    filled.push_str(rest);
    filled
}
