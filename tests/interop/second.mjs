// Judges and signs as the libraries named in package.json do. One JSON line in, one out, each time.
import * as readline from 'node:readline';
import * as vc from '@digitalbazaar/vc';
import * as Ed25519Multikey from '@digitalbazaar/ed25519-multikey';
import {DataIntegrityProof} from '@digitalbazaar/data-integrity';
import {cryptosuite} from '@digitalbazaar/eddsa-rdfc-2022-cryptosuite';
import multikeyContext from '@digitalbazaar/multikey-context';
import didContext from 'did-context';

const known = new Map([...multikeyContext.contexts, ...didContext.contexts]);

function loaderOf(asked) {
  const documents = new Map([...known, ...Object.entries(asked.contexts)]);
  for (const key of asked.keys) {
    documents.set(key.id, {'@context': 'https://w3id.org/security/multikey/v1', ...key});
    documents.set(key.controller, {
      '@context': ['https://www.w3.org/ns/did/v1', 'https://w3id.org/security/multikey/v1'],
      id: key.controller,
      verificationMethod: asked.keys,
      assertionMethod: asked.keys.map(one => one.id),
    });
  }
  return async url => {
    if (!documents.has(url)) {
      throw new Error(`nothing is fetched: ${url}`);
    }
    return {contextUrl: null, documentUrl: url, document: documents.get(url)};
  };
}

async function verify(asked) {
  const found = await vc.verifyCredential({
    credential: asked.document,
    suite: new DataIntegrityProof({cryptosuite}),
    documentLoader: loaderOf(asked),
    checkStatus: async () => ({verified: true}),
    now: asked.now,
  });
  return {verified: found.verified, why: found.error ? String(found.error.errors ?? found.error) : ''};
}

async function sign(asked) {
  const pair = await Ed25519Multikey.from(asked.pair);
  const suite = new DataIntegrityProof({signer: pair.signer(), cryptosuite, date: asked.created});
  return vc.issue({credential: asked.document, suite, documentLoader: loaderOf(asked)});
}

for await (const line of readline.createInterface({input: process.stdin})) {
  const asked = JSON.parse(line);
  try {
    const answer = asked.act === 'sign' ? await sign(asked) : await verify(asked);
    console.log(JSON.stringify(answer));
  } catch (problem) {
    console.log(JSON.stringify({verified: false, why: String(problem.stack)}));
  }
}
