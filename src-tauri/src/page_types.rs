//! The page's types are written from the wire's, and committed; this test keeps them so.

use crate::{
    drawing, drop, error, light, live, log, paint, parcel, photo, reading, session, snapshot, strip, studio,
};
use ts_rs::{Config, TS};

#[test]
fn the_pages_types_are_those_of_the_wire() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../ui/src/wire/generated.ts");
    let written = types();
    if std::fs::read_to_string(path).ok().as_ref() != Some(&written) {
        std::fs::write(path, &written).unwrap();
        panic!("ui/src/wire/generated.ts was stale. It has been written anew: look at it, and commit it.");
    }
}

fn types() -> String {
    let config = Config::new().with_large_int("number");
    let mut text =
        "// Written by `cargo test -p tonefast` from the shell's wire types. Do not edit.\n".to_owned();
    add::<error::ErrorInfo>(&config, &mut text);
    add::<error::ErrorCode>(&config, &mut text);
    add::<drop::Offered>(&config, &mut text);
    add::<photo::wire::PhotoInfo>(&config, &mut text);
    add::<photo::wire::SoftSizes>(&config, &mut text);
    add::<light::wire::PatchAt>(&config, &mut text);
    add::<light::wire::PatchName>(&config, &mut text);
    add::<light::wire::CircumstancesTold>(&config, &mut text);
    add::<light::wire::LightInfo>(&config, &mut text);
    add::<light::wire::QuestionInfo>(&config, &mut text);
    add::<light::wire::QuestionedInfo>(&config, &mut text);
    add::<light::wire::FieldInfo>(&config, &mut text);
    add::<reading::wire::BandsSetting>(&config, &mut text);
    add::<reading::wire::BandsInfo>(&config, &mut text);
    add::<reading::wire::FrameCorners>(&config, &mut text);
    add::<reading::wire::SpotAt>(&config, &mut text);
    add::<reading::wire::SpotInfo>(&config, &mut text);
    add::<reading::wire::NoReadingName>(&config, &mut text);
    add::<reading::wire::ReadingInfo>(&config, &mut text);
    add::<reading::wire::PushedInfo>(&config, &mut text);
    add::<reading::wire::WarningInfo>(&config, &mut text);
    add::<reading::wire::HueName>(&config, &mut text);
    add::<reading::wire::IntensityName>(&config, &mut text);
    add::<reading::wire::DifferenceInfo>(&config, &mut text);
    add::<reading::wire::VerdictInfo>(&config, &mut text);
    add::<reading::wire::StepName>(&config, &mut text);
    add::<live::wire::LiveAsk>(&config, &mut text);
    add::<live::wire::PaperAsk>(&config, &mut text);
    add::<live::wire::PinAsk>(&config, &mut text);
    add::<live::wire::LiveInfo>(&config, &mut text);
    add::<live::wire::LiveReadingInfo>(&config, &mut text);
    add::<live::wire::UnreadInfo>(&config, &mut text);
    add::<live::wire::LiveAgainst>(&config, &mut text);
    add::<live::wire::PaperInfo>(&config, &mut text);
    add::<live::wire::SightName>(&config, &mut text);
    add::<studio::StudioInfo>(&config, &mut text);
    add::<studio::SetAsideInfo>(&config, &mut text);
    add::<session::wire::SessionInfo>(&config, &mut text);
    add::<session::wire::About>(&config, &mut text);
    add::<session::wire::OrderName>(&config, &mut text);
    add::<session::wire::KeptThing>(&config, &mut text);
    add::<session::wire::DeletedInfo>(&config, &mut text);
    add::<session::wire::TrashInfo>(&config, &mut text);
    add::<session::wire::FoundInfo>(&config, &mut text);
    add::<snapshot::wire::KeepAsk>(&config, &mut text);
    add::<snapshot::wire::Shown>(&config, &mut text);
    add::<snapshot::wire::ViewShown>(&config, &mut text);
    add::<snapshot::wire::SquintShown>(&config, &mut text);
    add::<snapshot::wire::PinShown>(&config, &mut text);
    add::<snapshot::wire::PatchShown>(&config, &mut text);
    add::<studio::KeptAnswer>(&config, &mut text);
    add::<studio::WaitingKinds>(&config, &mut text);
    add::<studio::CloseHow>(&config, &mut text);
    add::<studio::ClosingInfo>(&config, &mut text);
    add::<snapshot::wire::KeptInfo>(&config, &mut text);
    add::<snapshot::wire::SnapshotInfo>(&config, &mut text);
    add::<snapshot::wire::PinKept>(&config, &mut text);
    add::<snapshot::wire::PinUnread>(&config, &mut text);
    add::<snapshot::wire::OpenedSnapshot>(&config, &mut text);
    add::<snapshot::wire::ChangesInfo>(&config, &mut text);
    add::<snapshot::wire::PinChangeInfo>(&config, &mut text);
    add::<drawing::UndrawnInfo>(&config, &mut text);
    add::<parcel::HandedOut>(&config, &mut text);
    add::<parcel::BroughtIn>(&config, &mut text);
    add::<parcel::PaperName>(&config, &mut text);
    add::<parcel::LayoutName>(&config, &mut text);
    add::<paint::wire::PaintAboutInfo>(&config, &mut text);
    add::<paint::wire::PaintInfo>(&config, &mut text);
    add::<paint::wire::CurveInfo>(&config, &mut text);
    add::<paint::wire::StepInfo>(&config, &mut text);
    add::<paint::wire::CautionInfo>(&config, &mut text);
    add::<paint::wire::DryingInfo>(&config, &mut text);
    add::<paint::wire::StripKept>(&config, &mut text);
    add::<paint::wire::LaidName>(&config, &mut text);
    add::<paint::wire::AtPaint>(&config, &mut text);
    add::<paint::wire::AtToneInfo>(&config, &mut text);
    add::<paint::wire::StandInInfo>(&config, &mut text);
    add::<paint::wire::DabAsk>(&config, &mut text);
    add::<paint::wire::StrangerInfo>(&config, &mut text);
    add::<paint::wire::DabInfo>(&config, &mut text);
    add::<paint::wire::DabWord>(&config, &mut text);
    add::<paint::wire::PassageInfo>(&config, &mut text);
    add::<paint::wire::RunTogetherInfo>(&config, &mut text);
    add::<paint::wire::GlazeInfo>(&config, &mut text);
    add::<paint::wire::WashInfo>(&config, &mut text);
    add::<paint::wire::OutcomeName>(&config, &mut text);
    add::<paint::PaintsForm>(&config, &mut text);
    add::<paint::PrintAsk>(&config, &mut text);
    add::<paint::PrintName>(&config, &mut text);
    add::<paint::FormName>(&config, &mut text);
    add::<strip::wire::Corners>(&config, &mut text);
    add::<strip::wire::StripInfo>(&config, &mut text);
    add::<strip::wire::StripWarningInfo>(&config, &mut text);
    add::<strip::wire::KeepStripAsk>(&config, &mut text);
    add::<strip::wire::KeptStripInfo>(&config, &mut text);
    add::<strip::wire::OpenedStrip>(&config, &mut text);
    add::<log::Versions>(&config, &mut text);
    text
}

fn add<T: TS>(config: &Config, text: &mut String) {
    text.push_str("\nexport ");
    text.push_str(&T::decl(config));
    text.push('\n');
}
