BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('v0004');
CREATE TABLE audit (
	seq INTEGER NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	who TEXT NOT NULL, 
	address TEXT NOT NULL, 
	action VARCHAR(40) NOT NULL, 
	subject TEXT NOT NULL, 
	CONSTRAINT pk_audit PRIMARY KEY (seq)
);
INSERT INTO "audit" VALUES(1,'2026-11-30T03:11:08.200Z','Ada','127.0.0.1','joined','phone');
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
INSERT INTO "changes" VALUES(1,'c4836fab1d36a3fc4c310c399277ed1d','5396295034cfd8e2',2,'/fitted/W1',NULL,'{"outside": {"level": {"sill": {"mm": 1, "who": "Ada"}}, "plumb": {"left": -1}, "diagonal": {"rising": 1590, "falling": 1592}}, "gaps_mm": {"left": {"bottom": 6, "top": 7.5}, "head": {"centre": 2}}, "fixings": 2, "fixing_used": "frame screws", "foam_used": "soft", "sealant_used": "neutral, white", "glass_marks": "EN 12150 1(C)2", "on": "2026-03-04", "by": "Ada", "note": "packed at the head"}',NULL,'Ada','desk','2026-03-02T10:00:00Z','2026-11-30T03:11:08.074Z','taken',NULL,NULL);
INSERT INTO "changes" VALUES(2,'change-a','5396295034cfd8e2',3,'/openings/W1/outside/width/bottom',1210,1208,NULL,'Ada','phone-a','2026-03-02T10:00:00Z','2026-11-30T03:11:08.082Z','taken',NULL,NULL);
INSERT INTO "changes" VALUES(3,'change-b','5396295034cfd8e2',NULL,'/openings/W1/outside/width/bottom',1208,1218,NULL,'Bo','phone-a','2026-03-02T10:00:00Z','2026-11-30T03:11:08.083Z','settled',NULL,NULL);
INSERT INTO "changes" VALUES(4,'change-c','5396295034cfd8e2',4,'/openings/W1/outside/width/bottom',1208,'[1208, 1218]',NULL,'Ada','phone-a','2026-03-02T10:00:00Z','2026-11-30T03:11:08.085Z','taken',NULL,NULL);
INSERT INTO "changes" VALUES(5,'change-d','5396295034cfd8e2',NULL,'/note','"Invented house for the tests"','"clash left open"',NULL,'Ada','phone-a','2026-03-02T10:00:00Z','2026-11-30T03:11:08.085Z','clash',NULL,NULL);
INSERT INTO "changes" VALUES(6,'change-e','5396295034cfd8e2',NULL,'/openings/W1/outside/width/bottom','[1208, 1218]','"wide"',NULL,'Ada','phone-a','2026-03-02T10:00:00Z','2026-11-30T03:11:08.086Z','refused',NULL,'[{"field": "outside.width.bottom", "say": "W1 Kitchen: outside.width.bottom: ''wide'' is not a number.", "kind": "bad"}]');
INSERT INTO "changes" VALUES(7,'change-f','5396295034cfd8e2',NULL,'/site/altitude_m',80,80,NULL,'Ada','phone-a','2026-03-02T10:00:00Z','2026-11-30T03:11:08.086Z','same',NULL,NULL);
INSERT INTO "changes" VALUES(8,'a7b69c91cd0255cb019e3b485eee58e3','5396295034cfd8e2',NULL,'/openings/W1/outside/width/bottom','[1208, 1218]',1210,NULL,'Ada','desk','2026-03-02T10:00:00Z','2026-11-30T03:11:08.090Z','refused','change-a','[{"field": "/openings/W1/outside/width/bottom", "say": "this was changed again since, so it can''t be undone by itself. Undo the later change first.", "kind": "bad"}]');
CREATE TABLE choices (
	house VARCHAR(32) NOT NULL, 
	name VARCHAR(20) NOT NULL, 
	tree JSON NOT NULL, 
	who TEXT NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	CONSTRAINT pk_choices PRIMARY KEY (house, name)
);
INSERT INTO "choices" VALUES('5396295034cfd8e2','days','{"from": "2026-05-04"}','Ada','2026-11-30T03:11:08.160Z');
INSERT INTO "choices" VALUES('','prices','{"vat_percent": 20}','Ada','2026-11-30T03:11:08.168Z');
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
INSERT INTO "houses" VALUES('5396295034cfd8e2','1 Example Row (invented)',4,'{"jambwright": 1, "note": "Invented house for the tests", "site": {"nation": "wales", "label": "1 Example Row (invented)", "altitude_m": 80}, "openings": [], "house": {"rooms": [{"name": "Kitchen", "use": "kitchen"}, {"name": "Hall/stairs", "use": "hall", "storey": 1}]}, "tools": [{"name": "red tape", "kind": "tape", "accuracy_class": "II"}]}',0,0,'2026-11-30T03:11:08.065Z','2026-11-30T03:11:08.084Z');
INSERT INTO "houses" VALUES('d8c7343ae7ae25e1','2 Example Row (invented)',1,'{"jambwright": 1, "site": {"label": "2 Example Row (invented)"}, "openings": []}',1,1,'2026-11-30T03:11:08.202Z','2026-11-30T03:11:08.208Z');
CREATE TABLE invitations (
	secret VARCHAR(64) NOT NULL, 
	name TEXT NOT NULL, 
	role VARCHAR(10) NOT NULL, 
	expires VARCHAR(32) NOT NULL, 
	used VARCHAR(32), 
	CONSTRAINT pk_invitations PRIMARY KEY (secret)
);
INSERT INTO "invitations" VALUES('b22923ab113e5b94ab140c803ef339e16346b4e361f292c8079918401dfcbc2b','Ada','fitter','2026-11-30T03:21:08.176Z','2026-11-30T03:11:08.184Z');
INSERT INTO "invitations" VALUES('7dc5dd03de655ad348e962e49373431838ba3edd1ae59641f2ef79b797dea52c','Bo','read_only','2026-11-30T03:21:08.196Z',NULL);
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
INSERT INTO "openings" VALUES('5396295034cfd8e2','W2',1,1,'{"room": "Hall/stairs", "id": "W2", "note": "l\u00e5g br\u00f6stning \u00bd", "outside": {}}',NULL);
INSERT INTO "openings" VALUES('5396295034cfd8e2','W1',0,4,'{"id": "W1", "room": "Kitchen", "outside": {"width": {"bottom": [1208, 1218], "middle": [1209, 1210], "top": {"mm": 1211, "tool": "red tape", "who": "Ada"}}, "height": {"left": 1052, "centre": 1051.5, "right": 1050}, "diagonal": {"rising": 1603, "falling": {"mm": [1601, 1602], "when": "2026-03-02T09:30:00"}}, "level": {"sill": -2}, "plumb": {"left": 1}}, "wanted": {"layout": {"across": [{"opens": "side_hung_left"}, {"share": 2}]}, "colour": "dark"}}','{"outside": {"level": {"sill": {"mm": 1, "who": "Ada"}}, "plumb": {"left": -1}, "diagonal": {"rising": 1590, "falling": 1592}}, "gaps_mm": {"left": {"bottom": 6, "top": 7.5}, "head": {"centre": 2}}, "fixings": 2, "fixing_used": "frame screws", "foam_used": "soft", "sealant_used": "neutral, white", "glass_marks": "EN 12150 1(C)2", "on": "2026-03-04", "by": "Ada", "note": "packed at the head"}');
CREATE TABLE papers (
	"plan" VARCHAR(32) NOT NULL, 
	name VARCHAR(80) NOT NULL, 
	body BLOB NOT NULL, 
	CONSTRAINT pk_papers PRIMARY KEY ("plan", name), 
	CONSTRAINT fk_papers_plan_plans FOREIGN KEY("plan") REFERENCES plans (id)
);
INSERT INTO "papers" VALUES('f65f0c1b5345f49e','plan.json',X'7B7D');
INSERT INTO "papers" VALUES('f65f0c1b5345f49e','order.csv',X'626CC3A573743B31');
CREATE TABLE people (
	id VARCHAR(32) NOT NULL, 
	name TEXT NOT NULL, 
	role VARCHAR(10) NOT NULL, 
	created VARCHAR(32) NOT NULL, 
	CONSTRAINT pk_people PRIMARY KEY (id)
);
INSERT INTO "people" VALUES('7a5b918726966ecb','Ada','fitter','2026-11-30T03:11:08.186Z');
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
	jpeg BLOB NOT NULL, shows JSON DEFAULT '[]' NOT NULL, 
	CONSTRAINT pk_photos PRIMARY KEY (id), 
	CONSTRAINT fk_photos_house_houses FOREIGN KEY(house) REFERENCES houses (id)
);
INSERT INTO "photos" VALUES('p1','5396295034cfd8e2','W1','crack','[[[0.1, 0.2], [0.3, 0.4]]]','Ada','2026-03-02T10:00:00Z',4,3,'[51.5, -3.2]',0,X'000102030405060708090A0B0C0D0E0F','["damp"]');
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
INSERT INTO "plans" VALUES('f65f0c1b5345f49e','5396295034cfd8e2',4,'2026-11-30T03:11:08.117Z','Ada','0.2.0','2742877508d4da9f','{"jambwright": 1, "note": "Invented house for the tests", "site": {"nation": "wales", "label": "1 Example Row (invented)", "altitude_m": 80}, "openings": [{"id": "W1", "room": "Kitchen", "outside": {"width": {"bottom": [1208, 1218], "middle": [1209, 1210], "top": {"mm": 1211, "tool": "red tape", "who": "Ada"}}, "height": {"left": 1052, "centre": 1051.5, "right": 1050}, "diagonal": {"rising": 1603, "falling": {"mm": [1601, 1602], "when": "2026-03-02T09:30:00"}}, "level": {"sill": -2}, "plumb": {"left": 1}}, "wanted": {"layout": {"across": [{"opens": "side_hung_left"}, {"share": 2}]}, "colour": "dark"}}, {"room": "Hall/stairs", "id": "W2", "note": "l\u00e5g br\u00f6stning \u00bd", "outside": {}}], "house": {"rooms": [{"name": "Kitchen", "use": "kitchen"}, {"name": "Hall/stairs", "use": "hall", "storey": 1}]}, "tools": [{"name": "red tape", "kind": "tape", "accuracy_class": "II"}]}','{"openings": []}','{"days": null}');
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
INSERT INTO "sessions" VALUES('b7222e3f033821be8a835270a1cc74cb730222dc80dfeb12ce1f884a35006b69','7a5b918726966ecb','phone','2026-11-30T03:11:08.184Z','2026-12-30T03:11:08.186Z',NULL);
CREATE INDEX ix_photos_house ON photos (house);
CREATE INDEX ix_plans_house ON plans (house);
CREATE INDEX ix_sessions_person ON sessions (person);
CREATE INDEX ix_changes_house_path ON changes (house, path);
COMMIT;
