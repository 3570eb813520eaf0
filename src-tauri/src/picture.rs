//! The `picture` scheme: what the page draws, as raw bytes.
//!
//! - `tables/lightness`, `tables/grey`, `tables/dim`: core's own tables, which the shader shares; `tables/linear` and
//!   `tables/y-row`: what makes Y of a video frame, 256 f32 a channel and three f32.
//! - `ID/tone?REGION`: codes of Y, u16; `ID/colour?REGION`: RGBA, 8 bits.
//! - `ID/soft?squint=S`: the cells of the softened picture, four f32 each: linear sRGB and Y.
//! - `ID/thumbnail`: a small copy, RGBA, 8 bits, of the size that the page was told.
//! - `ID/view?REGION&...`: the view as core draws it, RGBA, 8 bits.
//! - `snapshots/ID`: the small picture of a snapshot, a PNG.
//! - `drawn/ID`: the picture that came in with a snapshot whose photo was left out, a PNG.
//!
//! A REGION is `x, y, width, height` in pixels of the working copy, and the `columns, rows` to average it into. All
//! numbers are little-endian, as every machine that Tauri runs on has them.

mod query;

use crate::doors::{OWN_ORIGIN, may_ask};
use crate::drawing;
use crate::error::Error;
use crate::state::{Shell, lock};
use crate::thumbnails::Turn;
use crate::worker::caught;
use query::{Query, parse_frame, parse_squint, parse_view};
use std::sync::Arc;
use tauri::http::{Request, Response, StatusCode, header};
use tauri::{Manager, Runtime, UriSchemeContext, UriSchemeResponder};
use tonefast_core::{
    Bands, GREY_FROM_CODE, LIGHTNESS_FROM_CODE, Region, Thumbnail, ViewSettings, colours, dimmed, render,
    video_tables,
};

/// The scheme's name.
pub(crate) const SCHEME: &str = "picture";

/// What small pictures are.
const PNG: &str = "image/png";

/// The most pixels that one answer may have: two 8K screens.
const MOST_PIXELS: u64 = 1 << 26;

/// The longer side of a thumbnail: a thumb's width on a phone's screen.
pub(crate) const THUMBNAIL_SIDE: u32 = 192;

/// Answers a request, away from the window's thread.
pub(crate) fn answer<R: Runtime>(
    context: UriSchemeContext<'_, R>,
    request: Request<Vec<u8>>,
    responder: UriSchemeResponder,
) {
    let app = context.app_handle().clone();
    if !may_ask(request.headers().get(header::ORIGIN)) {
        return responder.respond(refusal(StatusCode::FORBIDDEN));
    }
    tauri::async_runtime::spawn_blocking(move || {
        let path = request.uri().path();
        if let Some(snapshot) = path.strip_prefix("/snapshots/") {
            return answer_small(&app.state::<Shell>(), snapshot, responder);
        }
        let kind = if path.starts_with("/drawn/") { PNG } else { "application/octet-stream" };
        let query = request.uri().query().unwrap_or_default();
        // A request that is not answered would keep the page waiting for ever.
        let answer = caught(|| bytes_for(path, query, &app.state::<Shell>()));
        responder.respond(respond(answer, kind));
    });
}

/// Answers with a snapshot's small picture: at once where it is there, else when it is its turn to be made. One that is
/// given up is asked for again if it comes into sight again.
fn answer_small(shell: &Shell, snapshot: &str, responder: UriSchemeResponder) {
    let (door, line) = (Arc::clone(&shell.studio), Arc::clone(&shell.thumbnails));
    let there = caught(|| {
        let snapshot = snapshot.parse().map_err(|_| Error::Gone)?;
        Ok((snapshot, door.with(|studio| Ok(studio.thumbnail(snapshot)?))?))
    });
    match there {
        Ok((snapshot, None)) => shell.thumbnails.join(Box::new(move |turn| {
            responder.respond(match turn {
                Turn::Now => {
                    respond(caught(|| drawing::small_picture(&door, snapshot, &mut lock(&line.last))), PNG)
                }
                Turn::GivenUp => refusal(StatusCode::SERVICE_UNAVAILABLE),
            });
        })),
        there => responder.respond(respond(there.map(|(_, png)| png.unwrap_or_default()), PNG)),
    }
}

/// An answer of nothing, which no page may read.
fn refusal(status: StatusCode) -> Response<Vec<u8>> {
    let mut response = Response::new(Vec::new());
    *response.status_mut() = status;
    response
}

fn respond(answer: Result<Vec<u8>, Error>, kind: &'static str) -> Response<Vec<u8>> {
    let (status, body) = match answer {
        Ok(bytes) => (StatusCode::OK, bytes),
        Err(Error::Gone) => (StatusCode::NOT_FOUND, Vec::new()),
        Err(error @ Error::Program) => (StatusCode::INTERNAL_SERVER_ERROR, error.to_string().into_bytes()),
        Err(error) => (StatusCode::BAD_REQUEST, error.to_string().into_bytes()),
    };
    let mut response = Response::new(body);
    *response.status_mut() = status;
    let headers = response.headers_mut();
    // The scheme is another origin than the page's, which may not read the answer without this.
    headers.insert(header::ACCESS_CONTROL_ALLOW_ORIGIN, header::HeaderValue::from_static(OWN_ORIGIN));
    headers.insert(header::CONTENT_TYPE, header::HeaderValue::from_static(kind));
    headers.insert(header::CACHE_CONTROL, header::HeaderValue::from_static("no-store"));
    response
}

pub(crate) fn bytes_for(path: &str, query: &str, shell: &Shell) -> Result<Vec<u8>, Error> {
    let query = Query::new(query);
    let (place, what) = path.trim_start_matches('/').split_once('/').ok_or(Error::Gone)?;
    if place == "tables" {
        return table(what);
    }
    if place == "drawn" {
        return drawing::drawn_picture(&shell.studio, what.parse().map_err(|_| Error::Gone)?);
    }
    let open = shell.photo(place.parse().map_err(|_| Error::Gone)?)?;
    if what == "soft" {
        let squint =
            parse_squint(query.text("squint")?)?.ok_or_else(|| Error::Caller("no squint".to_owned()))?;
        return Ok(open
            .soft(squint)
            .cells()
            .iter()
            .flatten()
            .flat_map(|value| value.to_le_bytes())
            .collect());
    }
    if what == "thumbnail" {
        return Ok(Thumbnail::of(&open.photo, THUMBNAIL_SIDE).rgba);
    }
    let (region, columns, rows) = region(&query)?;
    match what {
        "tone" => {
            let codes = open.photo.tonal_map().averaged(region, columns, rows);
            Ok(codes.into_iter().flat_map(u16::to_le_bytes).collect())
        }
        "colour" => Ok(colours(&open.photo, region, columns, rows)),
        "view" => {
            let bands = Bands::by_hand(query.numbers("edges")?)?;
            let soft = parse_squint(query.text("squint")?)?.map(|squint| open.soft(squint));
            let frame = query.optional("frame").map(parse_frame).transpose()?;
            let settings = ViewSettings {
                view: parse_view(query.text("view")?)?,
                bands: &bands,
                soft: soft.as_deref(),
                frame: frame.as_ref(),
                line: query.number("line")?,
            };
            Ok(render(&open.photo, &settings, region, columns, rows))
        }
        _ => Err(Error::Gone),
    }
}

fn table(name: &str) -> Result<Vec<u8>, Error> {
    match name {
        "lightness" => Ok(LIGHTNESS_FROM_CODE.iter().flat_map(|lightness| lightness.to_le_bytes()).collect()),
        "grey" => Ok(GREY_FROM_CODE.clone()),
        "dim" => Ok(dimmed().to_vec()),
        "linear" => Ok(video_tables()
            .linear_from_code
            .iter()
            .flatten()
            .flat_map(|linear| linear.to_le_bytes())
            .collect()),
        "y-row" => Ok(video_tables().y_row.iter().flat_map(|share| share.to_le_bytes()).collect()),
        _ => Err(Error::Gone),
    }
}

fn region(query: &Query<'_>) -> Result<(Region, u32, u32), Error> {
    let region = Region {
        x: query.number("x")?,
        y: query.number("y")?,
        width: query.number("width")?,
        height: query.number("height")?,
    };
    let (columns, rows): (u32, u32) = (query.number("columns")?, query.number("rows")?);
    let finite = [region.x, region.y, region.width, region.height].iter().all(|value| value.is_finite());
    let fits = columns > 0 && rows > 0 && u64::from(columns) * u64::from(rows) <= MOST_PIXELS;
    if finite && region.width > 0.0 && region.height > 0.0 && fits {
        Ok((region, columns, rows))
    } else {
        Err(Error::Caller("no such region".to_owned()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::borrow::Cow;
    use tonefast_core::{OpenOptions, Photo, Progress};

    fn shell() -> (Shell, u32, (u32, u32)) {
        let shell = Shell::default();
        let photo =
            Photo::open(tonefast_demo::SUBJECT_JPEG, &OpenOptions::default(), &Progress::new()).unwrap();
        let size = photo.size();
        let original = Arc::new(Cow::Borrowed(tonefast_demo::SUBJECT_JPEG));
        let id = shell.keep("demo".to_owned(), original, photo);
        (shell, id, size)
    }

    #[test]
    fn every_answer_has_a_value_for_every_pixel() {
        let (shell, id, (width, height)) = shell();
        let region = format!("x=0&y=0&width={width}&height={height}&columns=30&rows=40");
        let view = "view=bands&edges=80,60,40,20&squint=half&line=1&frame=0,0,1,0,1,1,0,1";
        for (what, query, bytes) in [
            ("tone", region.clone(), 2 * 1200),
            ("colour", region.clone(), 4 * 1200),
            ("view", format!("{region}&{view}"), 4 * 1200),
        ] {
            assert_eq!(bytes_for(&format!("/{id}/{what}"), &query, &shell).unwrap().len(), bytes, "{what}");
        }
        let (columns, rows) = Thumbnail::size((width, height), THUMBNAIL_SIDE);
        let thumbnail = bytes_for(&format!("/{id}/thumbnail"), "", &shell).unwrap();
        assert_eq!(thumbnail.len(), 4 * columns as usize * rows as usize);
        for (table, bytes) in [("lightness", 4 * 65_536), ("linear", 4 * 3 * 256), ("y-row", 4 * 3)] {
            assert_eq!(bytes_for(&format!("/tables/{table}"), "", &shell).unwrap().len(), bytes, "{table}");
        }
    }

    #[test]
    fn answers_are_for_the_apps_own_origin() {
        let allowed = |response: Response<Vec<u8>>| {
            response
                .headers()
                .get(header::ACCESS_CONTROL_ALLOW_ORIGIN)
                .map(|it| it.to_str().unwrap().to_owned())
        };
        for answer in [Ok(vec![1]), Err(Error::Gone), Err(Error::Program)] {
            assert_eq!(allowed(respond(answer, "image/png")).as_deref(), Some(OWN_ORIGIN));
        }
        let refusal = refusal(StatusCode::FORBIDDEN);
        assert!(refusal.status() == StatusCode::FORBIDDEN && refusal.body().is_empty());
        assert_eq!(allowed(refusal), None);
    }

    #[test]
    fn nonsense_is_refused_and_never_panics() {
        let (shell, id, _) = shell();
        for query in [
            "",
            "x=0&y=0&width=0&height=1&columns=1&rows=1",
            "x=nan&y=0&width=1&height=1&columns=1&rows=1",
            "x=0&y=0&width=9&height=9&columns=4000000000&rows=4000000000",
            "x=0&y=0&width=9&height=9&columns=0&rows=1",
        ] {
            assert!(bytes_for(&format!("/{id}/tone"), query, &shell).is_err(), "{query}");
        }
        for path in ["/", "/99/tone", "/../tone", "/tables/none", "nowhere"] {
            assert!(matches!(bytes_for(path, "", &shell), Err(Error::Gone)), "{path}");
        }
    }
}
