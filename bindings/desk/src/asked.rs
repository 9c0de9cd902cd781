//! What came, taken apart before anything looks at it.

use std::{collections::BTreeMap, net::SocketAddr};

use axum::{
    body::Bytes,
    extract::{Form, FromRequest, FromRequestParts, Multipart, Query, RawPathParams, Request},
    http::{HeaderMap, Method, header, request::Parts},
};

use crate::trouble::Trouble;

/// The cookie of a session.
pub(crate) const COOKIE: &str = "coldlug-desk";
/// How much more than a route takes is read before its sender is told.
const SPILL: usize = 256 * 1024;
/// Most fields of a form.
const MOST_FIELDS: usize = 400;

/// A request.
#[derive(Debug, Default)]
pub(crate) struct Asked {
    /// From where.
    pub(crate) address: String,
    /// Whether it changes something.
    pub(crate) posted: bool,
    /// Parts of the path that have a name.
    pub(crate) path: BTreeMap<String, String>,
    /// What stands behind the path.
    pub(crate) query: Vec<(String, String)>,
    /// The fields of a form, in their order.
    pub(crate) form: Vec<(String, String)>,
    /// Files that came with a form.
    pub(crate) files: BTreeMap<String, Bytes>,
    /// The bytes as they came, where they are no form.
    pub(crate) body: Bytes,
    /// The session's cookie.
    pub(crate) cookie: Option<String>,
    /// Whether the answer may come as gzip (RFC 9110, 12.5.3). Who rules it out does not name it.
    pub(crate) takes_gzip: bool,
    /// Whether a browser says that another site sent it.
    pub(crate) from_elsewhere: bool,
}

impl Asked {
    /// A part of the path.
    pub(crate) fn part(&self, name: &str) -> &str {
        self.path.get(name).map_or("", String::as_str)
    }

    /// The first field of a form by its name, trimmed; empty: not there.
    pub(crate) fn field(&self, name: &str) -> &str {
        self.fields(name).next().unwrap_or_default()
    }

    /// Every field of a form by its name, trimmed.
    pub(crate) fn fields<'a>(&'a self, name: &str) -> impl Iterator<Item = &'a str> {
        let wanted = name.to_owned();
        self.form.iter().filter(move |(name, _)| *name == wanted).map(|(_, value)| value.trim())
    }

    /// The first field of a form by its name as it was typed, a password say; empty: not there.
    pub(crate) fn untrimmed(&self, name: &str) -> &str {
        let found = self.form.iter().find(|(field, _)| field == name);
        found.map_or("", |(_, value)| value.as_str())
    }

    /// A value behind the path, trimmed; empty: not there.
    pub(crate) fn queried(&self, name: &str) -> &str {
        let found = self.query.iter().find(|(queried, _)| queried == name);
        found.map_or("", |(_, value)| value.trim())
    }

    /// Takes the body of a request apart; `most`: its bytes.
    pub(crate) async fn read_body(&mut self, request: Request, most: usize) -> Result<(), Trouble> {
        let (parts, body) = request.into_parts();
        // A little more is read and thrown away, so that the answer reaches a sender who is still
        // sending.
        let limited = axum::body::to_bytes(body, most + SPILL).await;
        let bytes = limited.map_err(|_| Trouble::TooLarge)?;
        if bytes.len() > most {
            return Err(Trouble::TooLarge);
        }
        let kind = parts.headers.get(header::CONTENT_TYPE).and_then(|v| v.to_str().ok());
        let kind = kind.unwrap_or_default().to_ascii_lowercase();
        if kind.starts_with("application/x-www-form-urlencoded") {
            let request = Request::from_parts(parts, bytes.into());
            let form = Form::<Vec<(String, String)>>::from_request(request, &()).await;
            self.form = form.map_err(|_| Trouble::Unreadable)?.0;
        } else if kind.starts_with("multipart/form-data") {
            let request = Request::from_parts(parts, bytes.into());
            self.read_parts(request).await?;
        } else {
            self.body = bytes;
        }
        if self.form.len() > MOST_FIELDS {
            return Err(Trouble::TooLarge);
        }
        Ok(())
    }

    /// What the head of a request says.
    pub(crate) async fn of_head(address: SocketAddr, parts: &mut Parts) -> Result<Self, Trouble> {
        let unreadable = |_| Trouble::Unreadable;
        let path = match RawPathParams::from_request_parts(parts, &()).await {
            Ok(params) => params.iter().map(|(name, part)| (name.into(), part.into())).collect(),
            Err(_) => return Err(Trouble::NotHere),
        };
        let query = Query::<Vec<(String, String)>>::try_from_uri(&parts.uri);
        let query = query.map_err(|_| Trouble::Unreadable)?.0;
        let sent = |name: &str| parts.headers.get(name).map(|v| v.to_str().map_err(unreadable));
        let site = sent("sec-fetch-site").transpose()?;
        let coded = sent("accept-encoding").transpose()?.unwrap_or_default();
        let takes_gzip = coded.split(',').any(|one| one.trim().eq_ignore_ascii_case("gzip"));
        Ok(Self {
            takes_gzip,
            address: address.ip().to_string(),
            posted: parts.method == Method::POST,
            path,
            query,
            cookie: cookie(&parts.headers),
            from_elsewhere: site.is_some_and(|site| site != "same-origin" && site != "none"),
            ..Self::default()
        })
    }

    async fn read_parts(&mut self, request: Request) -> Result<(), Trouble> {
        let unreadable = |_| Trouble::Unreadable;
        let mut parts =
            Multipart::from_request(request, &()).await.map_err(|_| Trouble::Unreadable)?;
        while let Some(part) = parts.next_field().await.map_err(unreadable)? {
            let name = part.name().unwrap_or_default().to_owned();
            let file = part.file_name().is_some();
            let bytes = part.bytes().await.map_err(unreadable)?;
            if self.form.len() + self.files.len() > MOST_FIELDS {
                return Err(Trouble::TooLarge);
            }
            if file {
                self.files.insert(name, bytes);
            } else {
                let text = String::from_utf8(bytes.to_vec()).map_err(|_| Trouble::Unreadable)?;
                self.form.push((name, text));
            }
        }
        Ok(())
    }
}

/// How long a body says that it is; none: it does not say. What says that it is far larger than a
/// route takes is not read at all.
pub(crate) fn announced(request: &Request, most: usize) -> Result<Option<usize>, Trouble> {
    let length = request.headers().get(header::CONTENT_LENGTH).and_then(|v| v.to_str().ok());
    let length = length.and_then(|length| length.parse::<usize>().ok());
    if length.is_some_and(|length| length > most + SPILL) {
        return Err(Trouble::TooLarge);
    }
    Ok(length)
}

/// Reads a little of what somebody sends who is not let in, so that the answer reaches them. What is
/// large is left unread.
pub(crate) async fn throw_away(request: Request) {
    if announced(&request, 0).is_ok() {
        drop(axum::body::to_bytes(request.into_body(), SPILL).await);
    }
}

fn cookie(headers: &HeaderMap) -> Option<String> {
    let all = headers.get_all(header::COOKIE).iter().filter_map(|value| value.to_str().ok());
    let mut pairs = all.flat_map(|line| line.split(';')).filter_map(|pair| pair.split_once('='));
    let found = pairs.find(|(name, _)| name.trim() == COOKIE);
    found.map(|(_, value)| value.trim().to_owned())
}
