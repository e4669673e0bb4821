BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('v0003');
CREATE TABLE audit (
	seq INTEGER NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	who TEXT NOT NULL, 
	address TEXT NOT NULL, 
	action VARCHAR(40) NOT NULL, 
	subject TEXT NOT NULL, 
	CONSTRAINT pk_audit PRIMARY KEY (seq)
);
INSERT INTO "audit" VALUES(1,'2026-11-30T02:26:24.456Z','Ada','127.0.0.1','joined','phone');
CREATE TABLE "changes" (
	seq INTEGER NOT NULL, 
	id VARCHAR(64) NOT NULL, 
	house VARCHAR(32) NOT NULL, 
	version INTEGER, 
	path TEXT NOT NULL, 
	"before" JSON, 
	"after" JSON, 
	typed TEXT, 
	who TEXT NOT NULL, 
	device VARCHAR(64) NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	received VARCHAR(32) NOT NULL, 
	outcome VARCHAR(8) NOT NULL, 
	undoes VARCHAR(64), 
	problems JSON, 
	CONSTRAINT pk_changes PRIMARY KEY (seq), 
	CONSTRAINT fk_changes_house_houses FOREIGN KEY(house) REFERENCES houses (id), 
	CONSTRAINT uq_changes_house UNIQUE (house, id)
);
INSERT INTO "changes" VALUES(1,'3b668a55c3b66944aae9c79821dec048','738c23c0f8594b26',2,'/fitted/W1',NULL,'{"outside": {"level": {"sill": {"mm": 1, "who": "Ada"}}, "plumb": {"left": -1}, "diagonal": {"rising": 1590, "falling": 1592}}, "gaps_mm": {"left": {"bottom": 6, "top": 7.5}, "head": {"centre": 2}}, "fixings": 2, "fixing_used": "frame screws", "foam_used": "soft", "sealant_used": "neutral, white", "glass_marks": "EN 12150 1(C)2", "on": "2026-03-04", "by": "Ada", "note": "packed at the head"}',NULL,'Ada','desk','2026-03-02T10:00:00Z','2026-11-30T02:26:24.131Z','taken',NULL,NULL);
INSERT INTO "changes" VALUES(2,'change-a','738c23c0f8594b26',3,'/openings/W1/outside/width/bottom',1210,1208,NULL,'Ada','phone-a','2026-03-02T10:00:00Z','2026-11-30T02:26:24.170Z','taken',NULL,NULL);
INSERT INTO "changes" VALUES(3,'change-b','738c23c0f8594b26',NULL,'/openings/W1/outside/width/bottom',1208,1218,NULL,'Bo','phone-a','2026-03-02T10:00:00Z','2026-11-30T02:26:24.171Z','settled',NULL,NULL);
INSERT INTO "changes" VALUES(4,'change-c','738c23c0f8594b26',4,'/openings/W1/outside/width/bottom',1208,'[1208, 1218]',NULL,'Ada','phone-a','2026-03-02T10:00:00Z','2026-11-30T02:26:24.186Z','taken',NULL,NULL);
INSERT INTO "changes" VALUES(5,'change-d','738c23c0f8594b26',NULL,'/note','"Invented house for the tests"','"clash left open"',NULL,'Ada','phone-a','2026-03-02T10:00:00Z','2026-11-30T02:26:24.187Z','clash',NULL,NULL);
INSERT INTO "changes" VALUES(6,'change-e','738c23c0f8594b26',NULL,'/openings/W1/outside/width/bottom','[1208, 1218]','"wide"',NULL,'Ada','phone-a','2026-03-02T10:00:00Z','2026-11-30T02:26:24.217Z','refused',NULL,'[{"field": "outside.width.bottom", "say": "W1 Kitchen: outside.width.bottom: ''wide'' is not a number.", "kind": "bad"}]');
INSERT INTO "changes" VALUES(7,'change-f','738c23c0f8594b26',NULL,'/site/altitude_m',80,80,NULL,'Ada','phone-a','2026-03-02T10:00:00Z','2026-11-30T02:26:24.218Z','same',NULL,NULL);
INSERT INTO "changes" VALUES(8,'9555da6d4d3f401dc8041f6796986ed2','738c23c0f8594b26',NULL,'/openings/W1/outside/width/bottom','[1208, 1218]',1210,NULL,'Ada','desk','2026-03-02T10:00:00Z','2026-11-30T02:26:24.244Z','refused','change-a','[{"field": "/openings/W1/outside/width/bottom", "say": "this was changed again since, so it can''t be undone by itself. Undo the later change first.", "kind": "bad"}]');
CREATE TABLE choices (
	house VARCHAR(32) NOT NULL, 
	name VARCHAR(20) NOT NULL, 
	tree JSON NOT NULL, 
	who TEXT NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	CONSTRAINT pk_choices PRIMARY KEY (house, name)
);
INSERT INTO "choices" VALUES('738c23c0f8594b26','days','{"from": "2026-05-04"}','Ada','2026-11-30T02:26:24.371Z');
INSERT INTO "choices" VALUES('','prices','{"vat_percent": 20}','Ada','2026-11-30T02:26:24.388Z');
CREATE TABLE houses (
	id VARCHAR(32) NOT NULL, 
	label TEXT NOT NULL, 
	version INTEGER NOT NULL, 
	head JSON NOT NULL, 
	practice BOOLEAN NOT NULL, 
	removed BOOLEAN NOT NULL, 
	created VARCHAR(32) NOT NULL, 
	changed VARCHAR(32) NOT NULL, 
	CONSTRAINT pk_houses PRIMARY KEY (id)
);
INSERT INTO "houses" VALUES('738c23c0f8594b26','1 Example Row (invented)',4,'{"jambwright": 1, "note": "Invented house for the tests", "site": {"nation": "wales", "label": "1 Example Row (invented)", "altitude_m": 80}, "openings": [], "house": {"rooms": [{"name": "Kitchen", "use": "kitchen"}, {"name": "Hall/stairs", "use": "hall", "storey": 1}]}, "tools": [{"name": "red tape", "kind": "tape", "accuracy_class": "II"}]}',0,0,'2026-11-30T02:26:24.090Z','2026-11-30T02:26:24.185Z');
INSERT INTO "houses" VALUES('148e6a3de5e61ebc','2 Example Row (invented)',1,'{"jambwright": 1, "site": {"label": "2 Example Row (invented)"}, "openings": []}',1,1,'2026-11-30T02:26:24.470Z','2026-11-30T02:26:24.478Z');
CREATE TABLE invitations (
	secret VARCHAR(64) NOT NULL, 
	name TEXT NOT NULL, 
	role VARCHAR(10) NOT NULL, 
	expires VARCHAR(32) NOT NULL, 
	used VARCHAR(32), 
	CONSTRAINT pk_invitations PRIMARY KEY (secret)
);
INSERT INTO "invitations" VALUES('fb016b09bdbdeb97f6b157d53459aa1252299d60fd9134d8f9523e8330c212c4','Ada','fitter','2026-11-30T02:36:24.399Z','2026-11-30T02:26:24.427Z');
INSERT INTO "invitations" VALUES('fa9a9e38ef0b8b5cddb6df8344e07b9c2476bbfb882528f6f73ce2e3c1c15bc0','Bo','read_only','2026-11-30T02:36:24.445Z',NULL);
CREATE TABLE openings (
	house VARCHAR(32) NOT NULL, 
	mark VARCHAR(16) NOT NULL, 
	position INTEGER NOT NULL, 
	version INTEGER NOT NULL, 
	tree JSON NOT NULL, 
	fitted JSON, 
	CONSTRAINT pk_openings PRIMARY KEY (house, mark), 
	CONSTRAINT fk_openings_house_houses FOREIGN KEY(house) REFERENCES houses (id)
);
INSERT INTO "openings" VALUES('738c23c0f8594b26','W2',1,1,'{"room": "Hall/stairs", "id": "W2", "note": "l\u00e5g br\u00f6stning \u00bd", "outside": {}}',NULL);
INSERT INTO "openings" VALUES('738c23c0f8594b26','W1',0,4,'{"id": "W1", "room": "Kitchen", "outside": {"width": {"bottom": [1208, 1218], "middle": [1209, 1210], "top": {"mm": 1211, "tool": "red tape", "who": "Ada"}}, "height": {"left": 1052, "centre": 1051.5, "right": 1050}, "diagonal": {"rising": 1603, "falling": {"mm": [1601, 1602], "when": "2026-03-02T09:30:00"}}, "level": {"sill": -2}, "plumb": {"left": 1}}, "wanted": {"layout": {"across": [{"opens": "side_hung_left"}, {"share": 2}]}, "colour": "dark"}}','{"outside": {"level": {"sill": {"mm": 1, "who": "Ada"}}, "plumb": {"left": -1}, "diagonal": {"rising": 1590, "falling": 1592}}, "gaps_mm": {"left": {"bottom": 6, "top": 7.5}, "head": {"centre": 2}}, "fixings": 2, "fixing_used": "frame screws", "foam_used": "soft", "sealant_used": "neutral, white", "glass_marks": "EN 12150 1(C)2", "on": "2026-03-04", "by": "Ada", "note": "packed at the head"}');
CREATE TABLE papers (
	"plan" VARCHAR(32) NOT NULL, 
	name VARCHAR(80) NOT NULL, 
	body BLOB NOT NULL, 
	CONSTRAINT pk_papers PRIMARY KEY ("plan", name), 
	CONSTRAINT fk_papers_plan_plans FOREIGN KEY("plan") REFERENCES plans (id)
);
INSERT INTO "papers" VALUES('90a2793778b5fbf0','plan.json',X'7B7D');
INSERT INTO "papers" VALUES('90a2793778b5fbf0','order.csv',X'626CC3A573743B31');
CREATE TABLE people (
	id VARCHAR(32) NOT NULL, 
	name TEXT NOT NULL, 
	role VARCHAR(10) NOT NULL, 
	created VARCHAR(32) NOT NULL, 
	CONSTRAINT pk_people PRIMARY KEY (id)
);
INSERT INTO "people" VALUES('b3165be795315446','Ada','fitter','2026-11-30T02:26:24.433Z');
CREATE TABLE photos (
	id VARCHAR(64) NOT NULL, 
	house VARCHAR(32) NOT NULL, 
	mark VARCHAR(16) NOT NULL, 
	caption TEXT NOT NULL, 
	drawn JSON NOT NULL, 
	who TEXT NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	width_px INTEGER NOT NULL, 
	height_px INTEGER NOT NULL, 
	place JSON, 
	removed BOOLEAN NOT NULL, 
	jpeg BLOB NOT NULL, 
	CONSTRAINT pk_photos PRIMARY KEY (id), 
	CONSTRAINT fk_photos_house_houses FOREIGN KEY(house) REFERENCES houses (id)
);
INSERT INTO "photos" VALUES('p1','738c23c0f8594b26','W1','crack','[[[0.1, 0.2], [0.3, 0.4]]]','Ada','2026-03-02T10:00:00Z',4,3,'[51.5, -3.2]',0,X'000102030405060708090A0B0C0D0E0F');
CREATE TABLE plans (
	id VARCHAR(32) NOT NULL, 
	house VARCHAR(32) NOT NULL, 
	version INTEGER NOT NULL, 
	made VARCHAR(32) NOT NULL, 
	who TEXT NOT NULL, 
	engine TEXT NOT NULL, 
	rules VARCHAR(64) NOT NULL, 
	survey JSON NOT NULL, 
	result JSON NOT NULL, gist JSON, 
	CONSTRAINT pk_plans PRIMARY KEY (id), 
	CONSTRAINT fk_plans_house_houses FOREIGN KEY(house) REFERENCES houses (id)
);
INSERT INTO "plans" VALUES('90a2793778b5fbf0','738c23c0f8594b26',4,'2026-11-30T02:26:24.305Z','Ada','0.2.0','3b24258b90216a1c','{"jambwright": 1, "note": "Invented house for the tests", "site": {"nation": "wales", "label": "1 Example Row (invented)", "altitude_m": 80}, "openings": [{"id": "W1", "room": "Kitchen", "outside": {"width": {"bottom": [1208, 1218], "middle": [1209, 1210], "top": {"mm": 1211, "tool": "red tape", "who": "Ada"}}, "height": {"left": 1052, "centre": 1051.5, "right": 1050}, "diagonal": {"rising": 1603, "falling": {"mm": [1601, 1602], "when": "2026-03-02T09:30:00"}}, "level": {"sill": -2}, "plumb": {"left": 1}}, "wanted": {"layout": {"across": [{"opens": "side_hung_left"}, {"share": 2}]}, "colour": "dark"}}, {"room": "Hall/stairs", "id": "W2", "note": "l\u00e5g br\u00f6stning \u00bd", "outside": {}}], "house": {"rooms": [{"name": "Kitchen", "use": "kitchen"}, {"name": "Hall/stairs", "use": "hall", "storey": 1}]}, "tools": [{"name": "red tape", "kind": "tape", "accuracy_class": "II"}]}','{"openings": []}','{"days": null}');
CREATE TABLE sessions (
	token VARCHAR(64) NOT NULL, 
	person VARCHAR(32) NOT NULL, 
	device TEXT NOT NULL, 
	began VARCHAR(32) NOT NULL, 
	expires VARCHAR(32) NOT NULL, 
	ended VARCHAR(32), 
	CONSTRAINT pk_sessions PRIMARY KEY (token), 
	CONSTRAINT fk_sessions_person_people FOREIGN KEY(person) REFERENCES people (id)
);
INSERT INTO "sessions" VALUES('d042caa8ed81108652652533db74ef6ad9ecaa43d2a0f6cfcc244eb1a6739087','b3165be795315446','phone','2026-11-30T02:26:24.427Z','2026-12-30T02:26:24.433Z',NULL);
CREATE INDEX ix_photos_house ON photos (house);
CREATE INDEX ix_plans_house ON plans (house);
CREATE INDEX ix_sessions_person ON sessions (person);
CREATE INDEX ix_changes_house_path ON changes (house, path);
COMMIT;
