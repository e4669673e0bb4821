// Whoever joins on a screen as narrow as a phone is led to the screens made for one, the office too.

import { onPage } from "./dom.js";

onPage("input[name=screen]").value = matchMedia("(max-width: 559px)").matches ? "narrow" : "wide";
