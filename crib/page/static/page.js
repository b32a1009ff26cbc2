"use strict";
// Forms work without this; with it no post is lost.
const { words, from } = document.body.dataset;
const [unsent, look, kept, old] = words.split("|");
const each = (what, act, place = document) => place.querySelectorAll(what).forEach(act);
const made = (name, text, facts) =>
	Object.assign(document.createElement(name), { textContent: text, ...facts });
const strip = made("p", "", { className: "unsent", hidden: true, role: "status" });
document.body.append(strip);

// As a browser sends, to see the answer.
const browse = ({ to, body }) => {
	const form = made("form", "", { method: "post", action: to });
	for (const [name, value] of new URLSearchParams(body))
		form.append(made("input", "", { type: "hidden", name, value }));
	document.body.append(form);
	form.submit();
};
const send = async () => {
	const why = await outbox.send(), posts = await outbox.all();
	const stopped = posts.find((post) => post.stopped);
	strip.hidden = !posts[0];
	strip.replaceChildren(`${posts.length} ${unsent} `);
	if (stopped) strip.append(made("button", look, { onclick: () => browse(stopped) }));
	else if (why?.[0] === "/") strip.append(made("a", look, { href: `${why}?then=${location.pathname}` }));
};
const keep = async (form, post) => {
	await outbox.put(post);
	if (form.dataset.drop) await outbox.drop(form.dataset.drop);
	await send();
	const left = await outbox.find(post.key);
	if (left?.stopped) return browse(left);
	delete localStorage[form.dataset.draft];
	if (left) {
		navigator.serviceWorker?.ready.then((worker) => worker.sync?.register("send"));
		return form.replaceWith(made("p", kept, { className: "told", role: "status" }));
	}
	const next = outbox.told[post.key] || location.pathname;
	location.assign(`${next}${next.includes("?") ? "&" : "?"}done=${post.key}`);
};
onsubmit = (event) => {
	const { target: form, submitter: by } = event, { key, pressed_at: pressed } = form.elements;
	if (!key || form.enctype[0] === "m" || by?.hasAttribute("formaction")) return;
	event.preventDefault();
	if (form.dataset.sending) return;
	form.dataset.sending = 1;
	if (pressed) pressed.value ||= new Date().toISOString();
	const body = new URLSearchParams(new FormData(form));
	if (by?.name) body.append(by.name, by.value);
	const post = { key: key.value, to: form.getAttribute("action"), body: `${body}` };
	keep(form, post).catch(() => browse(post));
};

// A label before the camera: one picture after another, until the crib knows what it shows.
const read = async (form) => {
	const video = made("video", "", { playsInline: true });
	video.srcObject = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
	form.prepend(video);
	await video.play();
	for (let reply; !reply?.redirected;) {
		await new Promise((tell) => setTimeout(tell, 500));
		const shot = made("canvas", "", { width: video.videoWidth, height: video.videoHeight });
		shot.getContext("2d").drawImage(video, 0, 0);
		const body = new FormData();
		body.set("photo", await new Promise((taken) => shot.toBlob(taken, "image/jpeg")));
		reply = await fetch(form.action, { method: "POST", body });
		if (reply.redirected) location = reply.url;
	}
};
onclick = ({ target }) => {
	const { step, key, away, camera } = target.dataset;
	if (camera) read(target.form).catch(() => target.remove());
	if (away) outbox.drop(away).then(() => location.assign("/"));
	if (!step && !key) return;
	const field = step ? target.parentElement.querySelector("input")
		: document.getElementById(target.closest("[data-keys]").dataset.keys);
	field.value = step ? Math.max(0, +field.value + +step || 0)
		: key === "back" ? field.value.slice(0, -1) : field.value + key;
	field.dispatchEvent(new Event("input", { bubbles: true }));
};
each("main [hidden]", (one) => one.hidden = !navigator.mediaDevices && one.dataset.camera);
each("[data-keep]", (one) => fetch(one).then((it) => it.text(), () => 0));

// A kept page: new keys.
if (from) {
	each("[name=key]", (key) => key.value = `page-${crypto.getRandomValues(new Uint32Array(3)).join("-")}`);
	document.body.prepend(made("p", `${old} ${new Date(from).toLocaleString()}`, { className: "care" }));
}
each("[data-sent]", (told) => outbox.drop(told.dataset.sent));
ononline = onfocus = send;
onpageshow = () => (each("form", (form) => delete form.dataset.sending), send());
setInterval(() => strip.hidden || send(), 1e4);
navigator.serviceWorker?.register("/static/worker.js", { scope: "/" });

// What is typed stays until sent.
each("form[data-draft]", (form) => {
	const place = form.dataset.draft, typed = JSON.parse(localStorage[place] || "{}");
	const said = (field) => field.type === "checkbox" ? "checked" : "value";
	for (const one of form.elements) if (one.name in typed) one[said(one)] = typed[one.name];
	form.oninput = ({ target }) => {
		if (target.closest(".stepper"))
			each("[name^=none-]", (none) => typed[none.name] = none.checked = false, target.closest(".card"));
		typed[target.name] = target[said(target)];
		localStorage[place] = JSON.stringify(typed);
	};
});
