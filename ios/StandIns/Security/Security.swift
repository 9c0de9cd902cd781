// Test aid, not shipped: the part of Apple's key chain that the app uses, so that it is type-checked
// on Linux. It keeps nothing.

public typealias CFString = String
public typealias CFTypeRef = Any
public typealias CFDictionary = [String: Any]
public typealias OSStatus = Int32

public let errSecSuccess: OSStatus = 0
public let errSecItemNotFound: OSStatus = -25300
public nonisolated(unsafe) let kSecRandomDefault: OpaquePointer? = nil

public let kSecClass: CFString = "class"
public let kSecClassGenericPassword: CFString = "genp"
public let kSecAttrService: CFString = "svce"
public let kSecAttrAccount: CFString = "acct"
public let kSecAttrAccessible: CFString = "pdmn"
public let kSecAttrAccessibleAfterFirstUnlockThisDeviceOnly: CFString = "cku"
public let kSecReturnData: CFString = "r_Data"
public let kSecValueData: CFString = "v_Data"

public func SecItemCopyMatching(
    _ query: CFDictionary, _ result: UnsafeMutablePointer<CFTypeRef?>?
) -> OSStatus { errSecItemNotFound }

public func SecItemAdd(
    _ attributes: CFDictionary, _ result: UnsafeMutablePointer<CFTypeRef?>?
) -> OSStatus { errSecSuccess }

public func SecRandomCopyBytes(
    _ source: OpaquePointer?, _ count: Int, _ bytes: UnsafeMutableRawPointer
) -> Int32 { errSecSuccess }
