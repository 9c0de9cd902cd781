use super::Service;
use crate::mapsheet::fixture::{features, plant_of};

#[test]
fn a_service_is_found_by_name_premises_and_meter() {
    let plant = plant_of(&features());
    let service = plant.services.values().next().unwrap();
    let first = |text: &str| plant.services_like(text).first().map(|found| found.id.clone());
    let known = Some(service.id.clone());
    assert_eq!(first(service.id.as_str()), known);
    assert_eq!(first(&service.premises.to_uppercase()), known);
    assert_eq!(first(&service.meters[0]), known);
    assert_eq!(plant.services_like("no such place"), Vec::<&Service>::new());
    assert_eq!(plant.services_like("").len(), plant.services.len());
}
