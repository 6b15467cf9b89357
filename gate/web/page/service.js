// By https a phone keeps tonight's page for the far house: asked from the program first, and shown from the store when
// it does not answer, as what it is. Nothing else is kept, and nothing of somebody who has signed out.
"use strict";
const store = "coldnight-1";
const pages = ["/", "/jobs"];
const files = ["/coldnight.css", "/coldnight.js", "/try.js"];
const patience = 6000; // ms; a bad link may hold a request for minutes

let era = 0; // an answer that was asked for before the store was dropped is not kept after
const drop = () => {
	era++;
	return caches.delete(store);
};

// keep puts an answer in the store, in place of what had its path before.
const keep = async (path, answer, asked) => {
	if (asked !== era) return;
	const c = await caches.open(store);
	for (const old of await c.keys()) if (new URL(old.url).pathname === path && old.url !== answer.url) await c.delete(old);
	await c.put(answer.url, answer);
};

// kept is the last good answer to a path, or undefined. A page says of itself that it comes from the store.
const kept = async path => {
	const c = await caches.open(store);
	const at = (await c.keys()).find(r => new URL(r.url).pathname === path);
	const answer = at && await c.match(at);
	if (!answer || !pages.includes(path)) return answer;
	const headers = new Headers(answer.headers);
	for (const h of ["Content-Encoding", "Content-Length", "ETag"]) headers.delete(h);
	return new Response((await answer.text()).replace("<main data-version", "<main data-kept data-version"), { headers });
};

const answer = async (request, path) => {
	const page = pages.includes(path), navigates = request.mode === "navigate", asked = era;
	try {
		const r = await (navigates ? fetch(request.url, { headers: request.headers, redirect: "manual", credentials: "same-origin", signal: AbortSignal.timeout(patience) }) : fetch(request));
		if (r.type === "opaqueredirect" || r.redirected || r.status === 401) {
			await drop(); // signed out, here or by somebody else
		} else if (r.ok && r.type === "basic" && (!page || r.headers.get("Content-Type")?.startsWith("text/html"))) {
			await keep(path, r.clone(), asked);
		}
		return r;
	} catch (e) {
		if (page && !navigates) throw e; // the page that asks for news must know that there are none
		const k = await kept(path);
		if (k) return k;
		throw e;
	}
};

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", e => e.waitUntil((async () => {
	for (const name of await caches.keys()) if (name !== store) await caches.delete(name);
	await self.clients.claim();
})()));
self.addEventListener("fetch", e => {
	const at = new URL(e.request.url);
	if (e.request.method !== "GET" || at.origin !== location.origin || !pages.concat(files).includes(at.pathname)) return;
	if (pages.includes(at.pathname) && at.search) return; // one person's jobs must not be shown as everybody's
	e.respondWith(answer(e.request, at.pathname));
});
// The page that brought this worker was loaded without it, and asks that it be kept.
self.addEventListener("message", e => {
	if (e.data === "drop") return e.waitUntil(drop());
	if (!Array.isArray(e.data?.keep)) return;
	e.waitUntil(Promise.allSettled(e.data.keep.map(async text => {
		const at = new URL(text, location.origin);
		if (at.origin !== location.origin || !pages.concat(files).includes(at.pathname)) return;
		const asked = era, r = await fetch(at);
		if (r.ok && !r.redirected) await keep(at.pathname, r, asked);
	})));
});
