//! The forms of a page.

/// One form of a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Form {
    /// Where it is sent.
    pub(crate) action: String,
    /// What it sends whatever is filled in.
    pub(crate) hidden: Vec<(String, String)>,
    /// The fields that are filled in or chosen, each once, in their order.
    pub(crate) fields: Vec<String>,
}

/// The forms of a page, in their order.
///
/// Reads what our own templates write: quoted attributes, no form inside a form.
pub(crate) fn forms(page: &str) -> Vec<Form> {
    let mut found = Vec::new();
    let mut rest = page;
    while let Some((_, after)) = rest.split_once("<form") {
        let (form, left) = after.split_once("</form>").unwrap_or((after, ""));
        found.push(one(form));
        rest = left;
    }
    found
}

fn one(form: &str) -> Form {
    let (head, inside) = form.split_once('>').unwrap_or((form, ""));
    let mut read = Form { action: attribute(head, "action").unwrap_or_default(), ..Form::empty() };
    for tag in tags(inside, &["input", "select", "textarea", "button"]) {
        let Some(name) = attribute(tag, "name") else { continue };
        let kind = attribute(tag, "type").unwrap_or_default();
        if kind == "hidden" {
            read.hidden.push((name, attribute(tag, "value").unwrap_or_default()));
        } else if !read.fields.contains(&name) {
            read.fields.push(name);
        }
    }
    read
}

impl Form {
    fn empty() -> Self {
        Self { action: String::new(), hidden: Vec::new(), fields: Vec::new() }
    }
}

/// The insides of the tags of these names.
fn tags<'a>(text: &'a str, names: &[&str]) -> Vec<&'a str> {
    text.split('<')
        .skip(1)
        .filter_map(|piece| {
            let (tag, _) = piece.split_once('>')?;
            let name = tag.split(char::is_whitespace).next()?;
            names.contains(&name).then_some(tag)
        })
        .collect()
}

fn attribute(tag: &str, name: &str) -> Option<String> {
    let start = format!(" {name}=\"");
    let spaced = tag.replace(['\n', '\t'], " ");
    let (_, after) = spaced.split_once(&start)?;
    let (value, _) = after.split_once('"')?;
    Some(plain(value))
}

/// The text after a mark, up to the next tag.
pub(super) fn shown(page: &str, mark: &str) -> Option<String> {
    let (_, after) = page.split_once(mark)?;
    after.split('<').next().map(|text| plain(text.trim()))
}

/// The value that is chosen, or stands first, among the choices of a field.
pub(super) fn choice(page: &str, field: &str) -> Option<String> {
    let (_, after) = page.split_once(&format!("name=\"{field}\""))?;
    let list = after.split_once("</select>").map_or(after, |(list, _)| list);
    let options = tags(list, &["option"]);
    let chosen = options.iter().find(|tag| tag.contains(" selected"));
    attribute(chosen.or(options.first())?, "value")
}

/// A text as it was before it was escaped for HTML.
fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('&') {
        out.push_str(before);
        let Some((name, left)) = after.split_once(';') else {
            out.push('&');
            rest = after;
            continue;
        };
        let number = name.strip_prefix('#').and_then(|digits| digits.parse().ok());
        match (name, number.and_then(char::from_u32)) {
            (_, Some(character)) => out.push(character),
            ("amp", _) => out.push('&'),
            ("lt", _) => out.push('<'),
            ("gt", _) => out.push('>'),
            ("quot", _) => out.push('"'),
            _ => {
                out.push('&');
                rest = after;
                continue;
            }
        }
        rest = left;
    }
    out.push_str(rest);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_action_hidden_and_fields() {
        let page = r#"<p>a</p><form method="post" action="/jobs?a=1&#38;b=2">
            <input type="hidden" name="csrf" value="x&amp;y">
            <label>Volts <input name="volts" inputmode="decimal"></label>
            <input type="radio" name="one" value="a"><input type="radio" name="one" value="b">
            <textarea name="reason"></textarea></form><form action="/out"><button>Go</button></form>"#;
        let found = forms(page);
        assert_eq!(found.len(), 2);
        assert_eq!(found[0].action, "/jobs?a=1&b=2");
        assert_eq!(found[0].hidden, [("csrf".to_owned(), "x&y".to_owned())]);
        assert_eq!(found[0].fields, ["volts", "one", "reason"]);
        assert_eq!(found[1].fields, Vec::<String>::new());
    }

    #[test]
    fn a_cut_page_gives_what_is_there() {
        assert_eq!(forms("<form action=\"/a\"><input name=\"b\"").len(), 1);
        assert_eq!(plain("a & b &unknown; &#65;"), "a & b &unknown; A");
    }
}
