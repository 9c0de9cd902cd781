// A phone in a few lines, for what a desk's page cannot do: it enrols by a code and asks for its
// jobs. One signed line of canonical JSON, then the rest; the answer names what it answers.
import assert from "node:assert/strict";
import { createHash, generateKeyPairSync, sign, verify, createPublicKey } from "node:crypto";

// RFC 8785 for what is sent here: names in order, no spaces, whole numbers.
function canonical(value) {
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (value === null || typeof value !== "object") return JSON.stringify(value);
  const members = Object.keys(value).sort().map((name) => `${JSON.stringify(name)}:${canonical(value[name])}`);
  return `{${members.join(",")}}`;
}

const sha256 = (bytes) => createHash("sha256").update(bytes).digest("hex");
const raw = (key) => Buffer.from(key.export({ format: "jwk" }).x, "base64url").toString("hex");
const publicKey = (hex) => createPublicKey({ format: "jwk", key: { kty: "OKP", crv: "Ed25519", x: Buffer.from(hex, "hex").toString("base64url") } });

export class Phone {
  constructor(address, device) {
    const pair = generateKeyPairSync("ed25519");
    Object.assign(this, { address, device, key: pair.privateKey, publicKey: raw(pair.publicKey), number: 0 });
  }

  sealed(what, body) {
    this.number += 1;
    const line = { message: 1, what, from: this.device, number: this.number, answers: null, rest_sha256: sha256(""), body };
    line.signature = sign(null, Buffer.from(canonical(line)), this.key).toString("hex");
    return `${canonical(line)}\n`;
  }

  async say(to, what, body, deskKey) {
    const sent = this.sealed(what, body);
    const answer = await fetch(`${this.address}/exchange/${to}`, { method: "POST", headers: { "content-type": "application/octet-stream" }, body: sent });
    const bytes = Buffer.from(await answer.arrayBuffer());
    assert.equal(answer.status, 200, bytes.toString());
    const end = bytes.indexOf(10);
    const { signature, ...line } = JSON.parse(bytes.subarray(0, end).toString());
    const key = deskKey ?? line.body.desk_key;
    assert.ok(verify(null, Buffer.from(canonical(line)), publicKey(key), Buffer.from(signature, "hex")), "the desk's signature");
    assert.equal(line.answers, sha256(sent), "the answer to this message");
    assert.equal(line.rest_sha256, sha256(bytes.subarray(end + 1)), "the rest as named");
    return { body: line.body, rest: bytes.subarray(end + 1) };
  }

  async enrol(code) {
    const { body } = await this.say("enrol", "enrol", { code, public_key: this.publicKey });
    this.deskKey = body.desk_key;
    return body;
  }

  offer(have = {}) {
    return this.say("offer", "offer", { have }, this.deskKey);
  }
}
