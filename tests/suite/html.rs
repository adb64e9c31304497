//! A page taken apart: is it well formed, and what does a reader see of it?
//!
//! A browser mends a broken page without a word, so it is read strictly here: every element is closed where it was
//! opened, every attribute is quoted, every `&` is a reference, and lists, tables and paragraphs hold only what may
//! stand in them.

use std::collections::BTreeSet;

/// Elements that are never closed.
const VOID: [&str; 6] = ["br", "hr", "img", "input", "link", "meta"];
/// What may only stand in these.
const INSIDE: [(&str, &[&str]); 9] = [
    ("li", &["ol", "ul"]),
    ("dt", &["dl", "div"]),
    ("dd", &["dl", "div"]),
    ("thead", &["table"]),
    ("tbody", &["table"]),
    ("tr", &["thead", "tbody"]),
    ("th", &["tr"]),
    ("td", &["tr"]),
    ("text", &["svg", "g"]),
];
/// What ends a paragraph, so that it cannot stand in one.
const NOT_IN_PARAGRAPH: [&str; 12] =
    ["p", "div", "ul", "ol", "dl", "table", "h1", "h2", "h3", "header", "footer", "main"];
/// References that need no table to be read.
const NAMED: [&str; 5] = ["amp", "lt", "gt", "quot", "apos"];

/// An element or a text, in the order of the page.
#[derive(Debug, PartialEq)]
pub(crate) enum Seen {
    Opened { tag: String, attributes: Vec<(String, String)> },
    Text(String),
}

/// What a page holds, or what is wrong with it.
pub(crate) fn read(page: &str) -> Result<Vec<Seen>, String> {
    let body = page.strip_prefix("<!DOCTYPE html>").ok_or("no <!DOCTYPE html> at the top")?;
    let (mut seen, mut open, mut ids) = (Vec::new(), Vec::<String>::new(), BTreeSet::new());
    let mut rest = body;
    while !rest.is_empty() {
        let at = rest.find('<').unwrap_or(rest.len());
        let (text, tag) = rest.split_at(at);
        if open.last().is_some_and(|tag| tag == "style") {
            // a style is no markup; it ends at its own end tag
        } else if !text.trim().is_empty() {
            let parent = open.last().ok_or_else(|| format!("text outside of the page: {text}"))?;
            if ["ul", "ol", "dl", "table", "thead", "tbody", "tr", "svg", "g", "html"].contains(&parent.as_str()) {
                return Err(format!("text right in <{parent}>: {text}"));
            }
            seen.push(Seen::Text(unescape(text)?));
        }
        if tag.is_empty() {
            break;
        }
        let (inside, after) = tag[1..].split_once('>').ok_or_else(|| format!("a tag without an end: {tag}"))?;
        rest = after;
        if let Some(name) = inside.strip_prefix('/') {
            let last = open.pop().ok_or_else(|| format!("</{name}> closes nothing"))?;
            if last != name {
                return Err(format!("</{name}> closes <{last}>"));
            }
            continue;
        }
        // only within a drawing can an element close itself
        let drawn = open.iter().any(|tag| tag == "svg");
        let (inside, closed) = inside.strip_suffix('/').filter(|_| drawn).map_or((inside, false), |rest| (rest, true));
        let (name, attributes) = element(inside)?;
        if let Some((_, parents)) = INSIDE.iter().find(|(child, _)| *child == name) {
            let parent = open.last().map_or("", String::as_str);
            if !parents.contains(&parent) {
                return Err(format!("<{name}> in <{parent}>"));
            }
        }
        if NOT_IN_PARAGRAPH.contains(&name.as_str()) && open.iter().any(|tag| tag == "p") {
            return Err(format!("<{name}> in a paragraph"));
        }
        for (_, id) in attributes.iter().filter(|(name, _)| name == "id") {
            if !ids.insert(id.clone()) {
                return Err(format!("two elements with the id {id}"));
            }
        }
        if !closed && !VOID.contains(&name.as_str()) {
            open.push(name.clone());
        }
        seen.push(Seen::Opened { tag: name, attributes });
    }
    match open.last() {
        Some(tag) => Err(format!("<{tag}> is never closed")),
        None => Ok(seen),
    }
}

/// Name and attributes of a start tag.
fn element(inside: &str) -> Result<(String, Vec<(String, String)>), String> {
    let wrong = |what: &str| format!("{what} in <{inside}>");
    let (name, mut rest) = inside.split_once(' ').unwrap_or((inside, ""));
    if name.is_empty() || !name.chars().all(|c| c.is_ascii_alphanumeric()) {
        return Err(wrong("no name of an element"));
    }
    let mut attributes: Vec<(String, String)> = Vec::new();
    while !rest.trim().is_empty() {
        let (key, after) = rest.split_once('=').ok_or_else(|| wrong("an attribute without a value"))?;
        let quote = after.chars().next().filter(|c| ['"', '\''].contains(c));
        let quote = quote.ok_or_else(|| wrong("a value without quotes"))?;
        let (value, after) = after[1..].split_once(quote).ok_or_else(|| wrong("a value that does not end"))?;
        let key = key.trim().to_owned();
        if key.contains(char::is_whitespace) || attributes.iter().any(|(known, _)| *known == key) {
            return Err(wrong("a doubled or broken attribute"));
        }
        attributes.push((key, unescape(value)?));
        rest = after;
    }
    Ok((name.to_owned(), attributes))
}

/// A text without references.
fn unescape(text: &str) -> Result<String, String> {
    let mut parts = text.split('&');
    let mut plain = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let (name, after) = part.split_once(';').ok_or_else(|| format!("a bare & in {text}"))?;
        let place = NAMED.iter().position(|known| *known == name);
        let number = name.strip_prefix('#').and_then(|digits| digits.parse().ok()).and_then(char::from_u32);
        match (place, number) {
            (Some(place), _) => plain.push(['&', '<', '>', '"', '\''][place]),
            (_, Some(letter)) => plain.push(letter),
            _ => return Err(format!("`&{name};` is no reference")),
        }
        plain.push_str(after);
    }
    Ok(plain)
}

/// The texts that a person sees or has read to them, in the order of the page.
pub(crate) fn texts(seen: &[Seen]) -> Vec<&str> {
    let read_aloud = ["aria-label", "alt", "title"];
    let mut texts = Vec::new();
    for part in seen {
        match part {
            Seen::Text(text) => texts.push(text.as_str()),
            Seen::Opened { attributes, .. } => {
                let said = attributes.iter().filter(|(name, _)| read_aloud.contains(&name.as_str()));
                texts.extend(said.map(|(_, value)| value.as_str()));
            }
        }
    }
    texts
}

/// The reader itself: it must see what it is there for.
#[test]
fn broken_pages_are_found_out() {
    let page = |body: &str| read(&format!("<!DOCTYPE html><html><body>{body}</body></html>"));
    for fine in [
        "<p>a &amp; b</p>",
        "<ul><li>a</li></ul>",
        "<br>",
        "<table><tbody><tr><td>1</td></tr></tbody></table>",
        "<svg><g><text>a</text></g><path d='M0'/></svg>",
    ] {
        assert!(page(fine).is_ok(), "{fine}: {:?}", page(fine));
    }
    for broken in [
        "<p>a",
        "</p>",
        "<b><i>a</b></i>",
        "<p>a & b</p>",
        "<p>&bogus;</p>",
        "<p class=a>b</p>",
        "<p class=\"a\" class=\"b\">c</p>",
        "<p class=\"a>b</p>",
        "<li>a</li>",
        "<td>1</td>",
        "<ul>a</ul>",
        "<b/>",
        "<p><div>a</div></p>",
        "<p><b><ul><li>a</li></ul></b></p>",
        "<b id=\"x\"></b><i id=\"x\"></i>",
    ] {
        assert!(page(broken).is_err(), "{broken}");
    }
    assert!(read("<html></html>").is_err());
    let seen = page("<svg aria-label=\"a &lt; b\"></svg><p>c</p>").unwrap();
    assert_eq!(texts(&seen), ["a < b", "c"]);
}
