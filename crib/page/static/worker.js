"use strict";
// Pages that were seen open without a network.
importScripts("/static/outbox.js");
const keep = async (request, reply) => {
	const pages = await caches.open("pages");
	await pages.delete(request);
	await pages.put(request, reply);
	for (const old of (await pages.keys()).slice(0, -60)) pages.delete(old);
};
const kept = async (request) => {
	const page = request.mode === "navigate";
	const reply = await caches.match(request) || page && await caches.match("/");
	if (!reply || !page) return reply;
	const from = `$& data-from="${reply.headers.get("date")}"`;
	return new Response((await reply.text()).replace("<body", from), reply);
};
const answer = async (request) => {
	const asked = fetch(request);
	asked.then((reply) => reply.ok && !reply.redirected && keep(request, reply.clone()), () => 0);
	const late = new Promise((tell) => setTimeout(tell, 6e3));
	return await Promise.race([asked.catch(() => 0), late]) || await kept(request) || asked;
};
oninstall = () => skipWaiting();
onactivate = (event) => event.waitUntil(clients.claim());
onfetch = (event) => {
	const { request } = event, { origin, pathname } = new URL(request.url);
	const shown = ["", "document", "style", "script", "image"].includes(request.destination);
	if (request.method !== "GET" || origin !== location.origin || !shown) return;
	// Who is to pair anew sees nothing old.
	if (pathname === "/pair") event.waitUntil(caches.delete("pages"));
	else if (pathname !== "/who") event.respondWith(answer(request));
};
onsync = (event) => event.waitUntil(outbox.send().then((why) => why && Promise.reject(why)));
