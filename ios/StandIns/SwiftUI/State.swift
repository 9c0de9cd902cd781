// Test aid, not shipped: what a view keeps, and what stands around it.

@propertyWrapper public struct State<V> {
    private let value: V
    public init(wrappedValue: V) { value = wrappedValue }
    public var wrappedValue: V {
        get { value }
        nonmutating set {}
    }
    public var projectedValue: Binding<V> { Binding(get: { value }, set: { _ in }) }
}

@propertyWrapper public struct SceneStorage<V> {
    private let value: V
    public init(wrappedValue: V, _ key: String) where V == String { value = wrappedValue }
    public var wrappedValue: V {
        get { value }
        nonmutating set {}
    }
}

@propertyWrapper public struct Binding<V> {
    private let read: () -> V
    private let write: (V) -> Void
    public init(get: @escaping () -> V, set: @escaping (V) -> Void) {
        read = get
        write = set
    }
    public var wrappedValue: V {
        get { read() }
        nonmutating set { write(newValue) }
    }
    public var projectedValue: Binding<V> { self }
}

@propertyWrapper public struct Environment<V> {
    private let path: KeyPath<EnvironmentValues, V>
    public init(_ path: KeyPath<EnvironmentValues, V>) { self.path = path }
    public var wrappedValue: V { EnvironmentValues()[keyPath: path] }
}

public struct EnvironmentValues {
    public var isEnabled: Bool { true }
    public var scenePhase: ScenePhase { .active }
}

public enum ScenePhase: Sendable { case background, inactive, active }
