//! Who may talk to the page's server: only pages that it served itself, under this computer's own names. Every request is
//! judged by its Host and, where there is one, its Origin; every answer forbids pages to load or frame anything else.

use axum::extract::{Request, State};
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, HOST, HeaderName, HeaderValue, ORIGIN, REFERRER_POLICY,
    X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{HeaderMap, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; \
    base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// The names under which the server may be asked.
#[derive(Debug, Clone)]
pub struct Names(Vec<String>);

impl Names {
    /// This computer's own names, with this port.
    pub fn of(port: u16) -> Names {
        let hosts = ["127.0.0.1", "localhost", "[::1]"];
        Names(hosts.map(|host| format!("{host}:{port}")).to_vec())
    }

    fn admit(&self, headers: &HeaderMap, pressing: bool) -> bool {
        let one = |name: HeaderName| {
            let mut values = headers.get_all(name).iter();
            match (values.next(), values.next()) {
                (value, None) => Ok(value),
                _ => Err(()),
            }
        };
        let known = |text: &str| self.0.iter().any(|name| name.eq_ignore_ascii_case(text));
        let host = match one(HOST) {
            Ok(Some(host)) => host.to_str().is_ok_and(known),
            _ => false,
        };
        let origin = match one(ORIGIN) {
            Ok(None) => true,
            Ok(Some(origin)) => origin
                .to_str()
                .is_ok_and(|origin| origin.strip_prefix("http://").is_some_and(known)),
            Err(()) => false,
        };
        // where the browser says who asks, another site's page may link here but not press
        let site = HeaderName::from_static("sec-fetch-site");
        let from_here = match one(site) {
            Ok(None) => true,
            Ok(Some(site)) => !pressing || matches!(site.as_bytes(), b"same-origin" | b"none"),
            Err(()) => false,
        };
        host && origin && from_here
    }
}

/// Lets a request through or refuses it, and sets the answer's headers.
pub async fn guard(State(names): State<Names>, request: Request, next: Next) -> Response {
    let mut response = match names.admit(request.headers(), request.method() != Method::GET) {
        true => next.run(request).await,
        false => (
            StatusCode::FORBIDDEN,
            "this page is served to this computer's own browser only\n",
        )
            .into_response(),
    };
    let headers = response.headers_mut();
    for (name, value) in [
        (CONTENT_SECURITY_POLICY, POLICY),
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (REFERRER_POLICY, "no-referrer"),
        (CACHE_CONTROL, "no-store"),
        (
            HeaderName::from_static("cross-origin-resource-policy"),
            "same-origin",
        ),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    response
}

#[cfg(test)]
mod tests {
    use super::*;

    fn admitted(list: &[(HeaderName, &'static str)]) -> bool {
        let mut headers = HeaderMap::new();
        for (name, value) in list {
            headers.append(name, HeaderValue::from_static(value));
        }
        Names::of(7373).admit(&headers, true)
    }

    #[test]
    fn only_this_computers_names_are_admitted() {
        for host in [
            "127.0.0.1:7373",
            "localhost:7373",
            "LOCALHOST:7373",
            "[::1]:7373",
        ] {
            assert!(admitted(&[(HOST, host)]), "{host}");
        }
        for host in [
            "",
            "127.0.0.1",
            "localhost:80",
            "example.org:7373",
            "127.0.0.1:7373.example.org",
        ] {
            assert!(!admitted(&[(HOST, host)]), "{host}");
        }
        assert!(!admitted(&[]));
        assert!(!admitted(&[
            (HOST, "localhost:7373"),
            (HOST, "localhost:7373")
        ]));
    }

    #[test]
    fn another_sites_page_cannot_press() {
        let site = HeaderName::from_static("sec-fetch-site");
        for (value, can) in [
            ("same-origin", true),
            ("none", true),
            ("cross-site", false),
            ("same-site", false),
        ] {
            let list = [(HOST, "localhost:7373"), (site.clone(), value)];
            assert_eq!(admitted(&list), can, "{value}");
        }
    }

    #[test]
    fn a_page_from_elsewhere_is_refused() {
        let with = |origin| admitted(&[(HOST, "localhost:7373"), (ORIGIN, origin)]);
        assert!(with("http://localhost:7373"));
        assert!(with("http://127.0.0.1:7373"));
        for origin in [
            "null",
            "https://localhost:7373",
            "http://localhost:80",
            "http://example.org",
            "localhost:7373",
        ] {
            assert!(!with(origin), "{origin}");
        }
    }
}
