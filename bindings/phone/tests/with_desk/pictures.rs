//! Photos and links.

use coldlug_phone::PhoneError;
use serde_json::json;

use super::{
    fake_desk::FakeDesk,
    shell::{Fate, Hand, Way, briefing, says, stay, two_phones},
};

const PHOTO: &[u8] = b"\xff\xd8\xff\xe0 a meter, made up";

#[test]
fn a_picture_taken_on_one_phone_is_seen_on_the_other() {
    let (desk, a, mut b) = two_phones();
    b.acts(&[briefing(), stay(true, "st-1")]).unwrap();
    let hash = b.phone.photo("J-1".into(), PHOTO.to_vec()).unwrap();
    b.acts(&[says("picture", &json!({ "photo": hash, "stay": "st-1" }))]).unwrap();
    b.reopens();
    // Cut between the entry and its photo: the photo goes along next time.
    let cut = b.phone.sync(Way::fated(&desk, [Fate::Through, Fate::Lost]));
    assert!(matches!(cut, Err(PhoneError::Offline { .. })));
    assert_eq!(a.syncs().photos_received, 0);
    let missing = a.phone.picture("J-1".into(), hash.clone()).unwrap_err();
    assert!(matches!(missing, PhoneError::NoPicture { .. }));
    assert_eq!(b.syncs().photos_sent, 1);
    assert_eq!(a.syncs().photos_received, 1);
    assert_eq!(a.phone.picture("J-1".into(), hash).unwrap(), PHOTO);
}

#[test]
fn what_is_no_photo_is_not_kept() {
    let (_, a, _) = two_phones();
    for bytes in [Vec::new(), b"<svg/>".to_vec(), vec![0xff; 13 << 20]] {
        let error = a.phone.photo("J-1".into(), bytes).unwrap_err();
        assert!(matches!(error, PhoneError::Invalid { .. }), "{error:?}");
    }
    let error = a.phone.picture("J-1".into(), "../../x".into()).unwrap_err();
    assert!(matches!(error, PhoneError::Invalid { .. }), "{error:?}");
}

#[test]
fn a_link_is_made_by_the_desk_or_refused_by_it() {
    let (desk, a, _) = two_phones();
    let link =
        |person: &str| a.phone.link("J-1".into(), "cl-1".into(), person.into(), Way::new(&desk));
    assert_eq!(link("el-c").unwrap().qr_svg, "<svg/>");
    match link("lw-b").unwrap_err() {
        PhoneError::NotTaken { id, .. } => assert_eq!(id, "link-not-possible"),
        other => panic!("{other:?}"),
    }
    let desk = std::sync::Arc::new(FakeDesk::new());
    let stranger = Hand::new(&desk, "lw-x");
    let error = stranger.phone.link("J-1".into(), "c".into(), "el-c".into(), Way::new(&desk));
    assert!(matches!(error, Err(PhoneError::NotEnrolled { .. })));
}
