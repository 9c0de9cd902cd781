// Test aid, not shipped: what is said about a view.

public enum ContentMode: Sendable { case fit, fill }

public struct Edge: Sendable {
    public struct Set: OptionSet, Sendable {
        public let rawValue: Int
        public init(rawValue: Int) { self.rawValue = rawValue }
        public static let horizontal = Set(rawValue: 1)
        public static let vertical = Set(rawValue: 2)
        public static let all = Set(rawValue: 3)
    }
}

extension View {
    public nonisolated func font(_ font: Font?) -> some View { Modified() }
    public nonisolated func padding(_ length: CGFloat) -> some View { Modified() }
    public nonisolated func padding(_ edges: Edge.Set = .all, _ length: CGFloat? = nil) -> some View {
        Modified()
    }
    public nonisolated func frame(
        minWidth: CGFloat? = nil, idealWidth: CGFloat? = nil, maxWidth: CGFloat? = nil,
        minHeight: CGFloat? = nil, idealHeight: CGFloat? = nil, maxHeight: CGFloat? = nil,
        alignment: Alignment = .center
    ) -> some View { Modified() }
    public nonisolated func aspectRatio(_ ratio: CGFloat?, contentMode: ContentMode) -> some View {
        Modified()
    }
    public nonisolated func fixedSize(horizontal: Bool, vertical: Bool) -> some View { Modified() }
    public nonisolated func foregroundStyle<S: ShapeStyle>(_ style: S) -> some View { Modified() }
    public nonisolated func background<S: ShapeStyle>(_ style: S) -> some View { Modified() }
    public nonisolated func border<S: ShapeStyle>(_ style: S, width: CGFloat = 1) -> some View {
        Modified()
    }
    public nonisolated func opacity(_ opacity: Double) -> some View { Modified() }
    public nonisolated func contentShape<S: Shape>(_ shape: S) -> some View { Modified() }
    public nonisolated func disabled(_ disabled: Bool) -> some View { Modified() }
    public nonisolated func buttonStyle<S: ButtonStyle>(_ style: S) -> some View { Modified() }
    public nonisolated func autocorrectionDisabled(_ disable: Bool = true) -> some View { Modified() }
    public nonisolated func sensoryFeedback<T: Equatable>(
        _ feedback: SensoryFeedback, trigger: T
    ) -> some View { Modified() }
    public nonisolated func accessibilityLabel(_ label: String) -> some View { Modified() }
    public nonisolated func accessibilityHidden(_ hidden: Bool) -> some View { Modified() }
    public nonisolated func accessibilityAddTraits(_ traits: AccessibilityTraits) -> some View {
        Modified()
    }
    public nonisolated func accessibilityElement(
        children: AccessibilityChildBehavior = .ignore
    ) -> some View { Modified() }
    public nonisolated func task(_ action: @escaping @MainActor @Sendable () async -> Void) -> some View {
        Modified()
    }
    public nonisolated func onChange<V: Equatable>(
        of value: V, initial: Bool = false, _ action: @escaping @MainActor (V, V) -> Void
    ) -> some View { Modified() }
    public nonisolated func fullScreenCover<C: View>(
        isPresented: Binding<Bool>, onDismiss: (() -> Void)? = nil,
        @ViewBuilder content: @escaping @MainActor () -> C
    ) -> some View { Modified() }
}
