// Test aid, not shipped: the app and its window. Nothing runs.

@MainActor @preconcurrency public protocol App {
    associatedtype Content: Scene
    @SceneBuilder var body: Content { get }
    init()
}

extension App {
    public static func main() {}
}

@MainActor @preconcurrency public protocol Scene {}

@resultBuilder public enum SceneBuilder {
    public static func buildBlock<S: Scene>(_ scene: S) -> S { scene }
}

public struct WindowGroup<C: View>: Scene {
    public init(@ViewBuilder content: @escaping () -> C) {}
}
