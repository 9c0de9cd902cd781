import ColdlugCore
import Foundation
import Security

/// The seed of this phone's key, in the key chain: on this device alone, readable once it was
/// unlocked after a boot, part of no backup.
public final class DeviceKeys: Keys, Sendable {
    private let account: String

    /// One seed for each account.
    public init(account: String = "seed") {
        self.account = account
    }

    private var item: [String: Any] {
        [
            kSecClass as String: kSecClassGenericPassword,
            kSecAttrService as String: "org.coldlug.phone",
            kSecAttrAccount as String: account,
        ]
    }

    public func seed() throws -> Data? {
        var query = item
        query[kSecReturnData as String] = true
        var found: CFTypeRef?
        let status = SecItemCopyMatching(query as CFDictionary, &found)
        if status == errSecItemNotFound { return nil }
        guard status == errSecSuccess, let seed = found as? Data else { throw failed(status) }
        return seed
    }

    public func keep(seed: Data) throws {
        var attributes = item
        attributes[kSecValueData as String] = seed
        attributes[kSecAttrAccessible as String] =
            kSecAttrAccessibleAfterFirstUnlockThisDeviceOnly
        // A seed that is there is never overwritten: whatever it signed would lose its signer.
        let status = SecItemAdd(attributes as CFDictionary, nil)
        guard status == errSecSuccess else { throw failed(status) }
    }

    public func random(count: UInt32) throws -> Data {
        var bytes = [UInt8](repeating: 0, count: Int(count))
        let status = SecRandomCopyBytes(kSecRandomDefault, bytes.count, &bytes)
        guard status == errSecSuccess else { throw failed(status) }
        return Data(bytes)
    }

    private func failed(_ status: OSStatus) -> PortError {
        .Failed(reason: "key chain status \(status)")
    }
}
