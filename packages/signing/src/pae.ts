/**
 * What a signature of DSSE is made over (DSSE 1.0, pre-authentication encoding): the type and the body, each with its
 * length in bytes before it, so that nothing of one can be taken for the other.
 */
export function pae(payloadType: string, body: Uint8Array): Uint8Array {
  const type = Buffer.from(payloadType, 'utf8');
  return Buffer.concat([Buffer.from(`DSSEv1 ${type.length} `), type, Buffer.from(` ${body.length} `), body]);
}
