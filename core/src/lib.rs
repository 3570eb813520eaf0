//! All that Tonefast computes: a picture's bytes in, tone out.
//!
//! In scope: decoding a picture to linear light, the light it was seen in, its tonal map, bands, readings, views, strips
//! of swatches, what washes of paint do to each other, and what was seen, kept and drawn. Tone is CIE 1976 lightness L*
//! under D65 throughout, computed from luminance Y in linear light; every mean, reduction and blend is made there.
//!
//! Out of scope: windows, Tauri, the network, files and paths (core takes bytes and numbers; only the studio, which keeps
//! what a painter has seen, touches a disk), and any judgement of colour beyond what a painter's reading needs.

mod area;
mod band;
mod colour;
mod difference;
mod frame;
mod leaf;
mod lighting;
mod lightness;
mod live;
mod paint;
mod photo;
#[cfg(test)]
mod random;
mod reading;
mod squint;
mod strip;
mod studio;
mod thumbnail;
mod tonal_map;
mod view;

pub use area::Region;
pub use band::{BandError, Bands, MAX_BANDS, MIN_BANDS};
pub use colour::{Hue, Intensity};
pub use difference::{Difference, Step, Verdict};
pub use frame::{Frame, FrameError};
pub use leaf::{Captions, Handout, HandoutLayout, Paper, Sheet, SheetForm, annotated, paint_bars, tone_card};
pub use lighting::{
    Against, CameraFamily, CameraModel, Circumstances, Doubt, Evenness, LeftOver, Light, LightError,
    LightNote, Patch, PatchKind, Question, Questioned, Scale,
};
pub use lightness::{GREY_FROM_CODE, LIGHTNESS_FROM_CODE, Y_CODES, lightness_from_y, y_from_lightness};
pub use live::{
    FramePatch, Gains, LARGEST_PATCH, Overview, PaperError, PaperFollower, PaperSight, PatchError, Settled,
    Settling, VideoTables, Window, video_tables,
};
pub use paint::{
    AtTone, Caution, Covering, Curve, Dab, DabReading, DabSays, Dilutions, Drying, FEWEST_STEPS, Hazard,
    Laid, Looks, MANY_PIGMENTS, MOST_STEPS, Mixture, Outcome, PaintAbout, PaintBox, PaintBoxError,
    PaintRecord, PaintedError, PaintedStep, PaintedStrip, Pigment, PigmentCount, PigmentError, PigmentFamily,
    PigmentList, PigmentRecord, Puddle, PuddleWash, Reflectance, SAFETY_SHEET, SPECTRAL_BANDS, Stranger,
    Tone, USUAL_CARE, Wash, WashColour, WashError,
};
#[cfg(feature = "fuzzing")]
#[doc(hidden)]
pub use photo::fuzz;
pub use photo::{Missing, Noticed, OpenError, OpenOptions, Orientation, Photo, Progress, WORKING_SIDE};
pub use reading::{Look, NoReading, Pushed, Reading, Spot, StandardError, Warning};
pub use squint::{SoftMap, Squint};
pub use strip::{Quad, Strip, StripStep, StripWarning, split_swatch, strips, swatch_at};
#[cfg(feature = "fuzzing")]
#[doc(hidden)]
pub use studio::fuzz as studio_fuzz;
pub use studio::{
    Beside, Changes, Deleted, DeletedPhotos, Found, Kept, KeptPaint, KeptPhoto, KeptStrip, Moment, NewFile,
    NewSnapshot, Originals, PhotoHash, PinChange, Seen, SeenBands, SeenKind, SeenLight, SeenPatch, SeenPin,
    SeenSpot, SeenSquint, SeenUnread, SeenView, SeenWhy, Session, SessionAbout, SessionOrder, SetAside,
    Snapshot, Studio, StudioError, StudioFault, StudioReader, Undrawn, disk_words, file_stem,
    sweep_leftovers,
};
pub use thumbnail::Thumbnail;
pub use tonal_map::{Histogram, TonalMap};
pub use view::{View, ViewSettings, colours, dimmed, render};
