import Foundation

/// Sizes for a hand in a rubber glove.
public enum Reach {
    /// Least height of anything that is touched, points.
    public static let target: CGFloat = 60
    /// Height of the one big button and of the pad's keys, points.
    public static let big: CGFloat = 84
    /// Least gap between two things that are touched, points.
    public static let gap: CGFloat = 10
}
