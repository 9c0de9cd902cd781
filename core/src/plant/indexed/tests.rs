use super::*;
use crate::mapsheet::fixture;

#[test]
fn a_change_is_found_at_once_and_a_copy_keeps_its_own() {
    let mut plant = fixture::plant_of(&fixture::features());
    let first = plant.services.keys().next().cloned().unwrap();
    let kept = plant.clone();
    assert_eq!(plant.services_with_meter("new-1"), &[] as &[AssetId]);
    plant.services.get_mut(&first).unwrap().meters = vec!["NEW 1".to_owned()];
    assert_eq!(plant.services_with_meter("new-1"), std::slice::from_ref(&first));
    assert_eq!(kept.services_with_meter("new-1"), &[] as &[AssetId]);
    let moved = plant.feeds_of(&first);
    assert!(!moved.is_empty());
    plant.sets.clear();
    assert_eq!(plant.feeds_of(&first), []);
    assert_eq!(kept.feeds_of(&first), moved);
}
