BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('v0001');
CREATE TABLE audit (
	seq INTEGER NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	who TEXT NOT NULL, 
	address TEXT NOT NULL, 
	action VARCHAR(40) NOT NULL, 
	subject TEXT NOT NULL, 
	CONSTRAINT pk_audit PRIMARY KEY (seq)
);
INSERT INTO "audit" VALUES(1,'2026-11-29T20:28:04.476Z','Ada','127.0.0.1','joined','phone');
CREATE TABLE changes (
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
	CONSTRAINT uq_changes_id UNIQUE (id)
);
INSERT INTO "changes" VALUES(1,'a2b51bccab557af4de1dec560663b81a','b25604e5a31bcbfa',2,'/fitted/W1',NULL,'{"outside": {"level": {"sill": {"mm": 1, "who": "Ada"}}, "plumb": {"left": -1}, "diagonal": {"rising": 1590, "falling": 1592}}, "gaps_mm": {"left": {"bottom": 6, "top": 7.5}, "head": {"centre": 2}}, "fixings": 2, "fixing_used": "frame screws", "foam_used": "soft", "sealant_used": "neutral, white", "glass_marks": "EN 12150 1(C)2", "on": "2026-03-04", "by": "Ada", "note": "packed at the head"}',NULL,'Ada','desk','2026-03-02T10:00:00Z','2026-11-29T20:28:04.302Z','taken',NULL,NULL);
INSERT INTO "changes" VALUES(2,'change-a','b25604e5a31bcbfa',3,'/openings/W1/outside/width/bottom',1210,1208,NULL,'Ada','phone-a','2026-03-02T10:00:00Z','2026-11-29T20:28:04.327Z','taken',NULL,NULL);
INSERT INTO "changes" VALUES(3,'change-b','b25604e5a31bcbfa',NULL,'/openings/W1/outside/width/bottom',1208,1218,NULL,'Bo','phone-a','2026-03-02T10:00:00Z','2026-11-29T20:28:04.327Z','settled',NULL,NULL);
INSERT INTO "changes" VALUES(4,'change-c','b25604e5a31bcbfa',4,'/openings/W1/outside/width/bottom',1208,'[1208, 1218]',NULL,'Ada','phone-a','2026-03-02T10:00:00Z','2026-11-29T20:28:04.333Z','taken',NULL,NULL);
INSERT INTO "changes" VALUES(5,'change-d','b25604e5a31bcbfa',NULL,'/note','"Invented house for the tests"','"clash left open"',NULL,'Ada','phone-a','2026-03-02T10:00:00Z','2026-11-29T20:28:04.334Z','clash',NULL,NULL);
INSERT INTO "changes" VALUES(6,'change-e','b25604e5a31bcbfa',NULL,'/openings/W1/outside/width/bottom','[1208, 1218]','"wide"',NULL,'Ada','phone-a','2026-03-02T10:00:00Z','2026-11-29T20:28:04.334Z','refused',NULL,'[{"field": "outside.width.bottom", "say": "W1 Kitchen: outside.width.bottom: ''wide'' is not a number.", "kind": "bad"}]');
INSERT INTO "changes" VALUES(7,'change-f','b25604e5a31bcbfa',NULL,'/site/altitude_m',80,80,NULL,'Ada','phone-a','2026-03-02T10:00:00Z','2026-11-29T20:28:04.334Z','same',NULL,NULL);
INSERT INTO "changes" VALUES(8,'a2171203edfe76db9fb3c6db0875db5c','b25604e5a31bcbfa',NULL,'/openings/W1/outside/width/bottom','[1208, 1218]',1210,NULL,'Ada','desk','2026-03-02T10:00:00Z','2026-11-29T20:28:04.353Z','clash','change-a',NULL);
INSERT INTO "changes" VALUES(9,'change-m1','50fe42520b64ed57',2,'/openings/W5',NULL,'{"id": "W5", "room": "Hall", "outside": {}}',NULL,'Ada','phone-a','2026-03-02T10:00:00Z','2026-11-29T20:28:04.518Z','taken',NULL,NULL);
INSERT INTO "changes" VALUES(10,'change-m2','50fe42520b64ed57',3,'/openings/w5',NULL,'{"id": "w5", "room": "Hall", "outside": {}}',NULL,'Ada','phone-a','2026-03-02T10:00:00Z','2026-11-29T20:28:04.518Z','taken',NULL,NULL);
INSERT INTO "changes" VALUES(11,'change-m3','50fe42520b64ed57',4,'/note',NULL,'"crack \ud83d in the sill"',NULL,'Ada','phone-a','2026-03-02T10:00:00Z','2026-11-29T20:28:04.519Z','taken',NULL,NULL);
INSERT INTO "changes" VALUES(12,'change-m4','50fe42520b64ed57',5,'/openings/W5/note',NULL,'"odd \u0007 \ud800"',NULL,'Ada','phone-a','2026-03-02T10:00:00Z','2026-11-29T20:28:04.519Z','taken',NULL,NULL);
INSERT INTO "changes" VALUES(13,'change-m5','50fe42520b64ed57',6,'/openings/W5/note','"odd \u0007 \ud800"','"plain"',NULL,'Ada','phone-a','2026-03-02T10:00:00Z','2026-11-29T20:28:04.533Z','taken',NULL,NULL);
INSERT INTO "changes" VALUES(14,'change-m6','50fe42520b64ed57',NULL,'/openings/W5/note','"plain"','NaN',NULL,'Ada','phone-a','2026-03-02T10:00:00Z','2026-11-29T20:28:04.533Z','clash',NULL,NULL);
INSERT INTO "changes" VALUES(15,'change-m7','50fe42520b64ed57',NULL,'/openings/W5/outside/width/top',NULL,'NaN',NULL,'Ada','phone-a','2026-03-02T10:00:00Z','2026-11-29T20:28:04.534Z','refused',NULL,'[{"field": "outside.width.top", "say": "W5 Hall: outside.width.top: nan is not a real figure.", "kind": "bad"}]');
CREATE TABLE choices (
	house VARCHAR(32) NOT NULL, 
	name VARCHAR(20) NOT NULL, 
	tree JSON NOT NULL, 
	who TEXT NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	CONSTRAINT pk_choices PRIMARY KEY (house, name)
);
INSERT INTO "choices" VALUES('b25604e5a31bcbfa','days','{"from": "2026-05-04"}','Ada','2026-11-29T20:28:04.409Z');
INSERT INTO "choices" VALUES('','prices','{"vat_percent": 20}','Ada','2026-11-29T20:28:04.416Z');
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
INSERT INTO "houses" VALUES('b25604e5a31bcbfa','1 Example Row (invented)',4,'{"jambwright": 1, "note": "Invented house for the tests", "site": {"nation": "wales", "label": "1 Example Row (invented)", "altitude_m": 80}, "openings": [], "house": {"rooms": [{"name": "Kitchen", "use": "kitchen"}, {"name": "Hall/stairs", "use": "hall", "storey": 1}]}, "tools": [{"name": "red tape", "kind": "tape", "accuracy_class": "II"}]}',0,0,'2026-11-29T20:28:04.289Z','2026-11-29T20:28:04.333Z');
INSERT INTO "houses" VALUES('6d7efc9a6afb946a','2 Example Row (invented)',1,'{"jambwright": 1, "site": {"label": "2 Example Row (invented)"}, "openings": []}',1,1,'2026-11-29T20:28:04.480Z','2026-11-29T20:28:04.493Z');
INSERT INTO "houses" VALUES('50fe42520b64ed57','3 Example Row (invented)',6,'{"jambwright": 1, "site": {"label": "3 Example Row (invented)"}, "openings": [], "note": "crack \ud83d in the sill"}',0,0,'2026-11-29T20:28:04.508Z','2026-11-29T20:28:04.532Z');
CREATE TABLE invitations (
	secret VARCHAR(64) NOT NULL, 
	name TEXT NOT NULL, 
	role VARCHAR(10) NOT NULL, 
	expires VARCHAR(32) NOT NULL, 
	used VARCHAR(32), 
	CONSTRAINT pk_invitations PRIMARY KEY (secret)
);
INSERT INTO "invitations" VALUES('c97b3a7e5cd02a585124921ee076d1de89d93af39b8506736ce3742288a98485','Ada','fitter','2026-11-29T20:38:04.424Z','2026-11-29T20:28:04.429Z');
INSERT INTO "invitations" VALUES('ca5fe8909ed1f202d11e85f0ad59f361b7b0357a5788cc2d228993faba7f6a9d','Bo','read_only','2026-11-29T20:38:04.468Z',NULL);
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
INSERT INTO "openings" VALUES('b25604e5a31bcbfa','W2',1,1,'{"room": "Hall/stairs", "id": "W2", "note": "l\u00e5g br\u00f6stning \u00bd", "outside": {}}',NULL);
INSERT INTO "openings" VALUES('b25604e5a31bcbfa','W1',0,4,'{"id": "W1", "room": "Kitchen", "outside": {"width": {"bottom": [1208, 1218], "middle": [1209, 1210], "top": {"mm": 1211, "tool": "red tape", "who": "Ada"}}, "height": {"left": 1052, "centre": 1051.5, "right": 1050}, "diagonal": {"rising": 1603, "falling": {"mm": [1601, 1602], "when": "2026-03-02T09:30:00"}}, "level": {"sill": -2}, "plumb": {"left": 1}}, "wanted": {"layout": {"across": [{"opens": "side_hung_left"}, {"share": 2}]}, "colour": "dark"}}','{"outside": {"level": {"sill": {"mm": 1, "who": "Ada"}}, "plumb": {"left": -1}, "diagonal": {"rising": 1590, "falling": 1592}}, "gaps_mm": {"left": {"bottom": 6, "top": 7.5}, "head": {"centre": 2}}, "fixings": 2, "fixing_used": "frame screws", "foam_used": "soft", "sealant_used": "neutral, white", "glass_marks": "EN 12150 1(C)2", "on": "2026-03-04", "by": "Ada", "note": "packed at the head"}');
INSERT INTO "openings" VALUES('50fe42520b64ed57','w5',1,3,'{"id": "w5", "room": "Hall", "outside": {}}',NULL);
INSERT INTO "openings" VALUES('50fe42520b64ed57','W5',0,6,'{"id": "W5", "room": "Hall", "outside": {}, "note": "plain"}',NULL);
CREATE TABLE papers (
	"plan" VARCHAR(32) NOT NULL, 
	name VARCHAR(80) NOT NULL, 
	body BLOB NOT NULL, 
	CONSTRAINT pk_papers PRIMARY KEY ("plan", name), 
	CONSTRAINT fk_papers_plan_plans FOREIGN KEY("plan") REFERENCES plans (id)
);
INSERT INTO "papers" VALUES('d31005472c22e997','plan.json',X'7B7D');
INSERT INTO "papers" VALUES('d31005472c22e997','order.csv',X'626CC3A573743B31');
CREATE TABLE people (
	id VARCHAR(32) NOT NULL, 
	name TEXT NOT NULL, 
	role VARCHAR(10) NOT NULL, 
	created VARCHAR(32) NOT NULL, 
	CONSTRAINT pk_people PRIMARY KEY (id)
);
INSERT INTO "people" VALUES('a073a243aab79cd3','Ada','fitter','2026-11-29T20:28:04.429Z');
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
INSERT INTO "photos" VALUES('p1','b25604e5a31bcbfa','W1','crack','[[[0.1, 0.2], [0.3, 0.4]]]','Ada','2026-03-02T10:00:00Z',4,3,'[51.5, -3.2]',0,X'000102030405060708090A0B0C0D0E0F');
CREATE TABLE plans (
	id VARCHAR(32) NOT NULL, 
	house VARCHAR(32) NOT NULL, 
	version INTEGER NOT NULL, 
	made VARCHAR(32) NOT NULL, 
	who TEXT NOT NULL, 
	engine TEXT NOT NULL, 
	rules VARCHAR(64) NOT NULL, 
	survey JSON NOT NULL, 
	result JSON NOT NULL, 
	CONSTRAINT pk_plans PRIMARY KEY (id), 
	CONSTRAINT fk_plans_house_houses FOREIGN KEY(house) REFERENCES houses (id)
);
INSERT INTO "plans" VALUES('d31005472c22e997','b25604e5a31bcbfa',4,'2026-11-29T20:28:04.377Z','Ada','0.1.0','c41eb28e77f5e9ba','{"jambwright": 1, "note": "Invented house for the tests", "site": {"nation": "wales", "label": "1 Example Row (invented)", "altitude_m": 80}, "openings": [{"id": "W1", "room": "Kitchen", "outside": {"width": {"bottom": [1208, 1218], "middle": [1209, 1210], "top": {"mm": 1211, "tool": "red tape", "who": "Ada"}}, "height": {"left": 1052, "centre": 1051.5, "right": 1050}, "diagonal": {"rising": 1603, "falling": {"mm": [1601, 1602], "when": "2026-03-02T09:30:00"}}, "level": {"sill": -2}, "plumb": {"left": 1}}, "wanted": {"layout": {"across": [{"opens": "side_hung_left"}, {"share": 2}]}, "colour": "dark"}}, {"room": "Hall/stairs", "id": "W2", "note": "l\u00e5g br\u00f6stning \u00bd", "outside": {}}], "house": {"rooms": [{"name": "Kitchen", "use": "kitchen"}, {"name": "Hall/stairs", "use": "hall", "storey": 1}]}, "tools": [{"name": "red tape", "kind": "tape", "accuracy_class": "II"}]}','{"openings": []}');
INSERT INTO "plans" VALUES('f7e4e0e5bb921399','50fe42520b64ed57',6,'2026-11-29T20:28:04.550Z','Ada','0.1.0','c41eb28e77f5e9ba','{"jambwright": 1, "site": {"label": "3 Example Row (invented)"}, "openings": [{"id": "W5", "room": "Hall", "outside": {}, "note": "plain"}, {"id": "w5", "room": "Hall", "outside": {}}], "note": "crack \ud83d in the sill"}','{"note": "crack \ud83d"}');
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
INSERT INTO "sessions" VALUES('8f1583730add57672895636ca67db4c5d28ef2b8860759083734f9c4726e9060','a073a243aab79cd3','phone','2026-11-29T20:28:04.429Z','2026-12-29T20:28:04.431Z',NULL);
CREATE INDEX ix_changes_house_path ON changes (house, path);
CREATE INDEX ix_photos_house ON photos (house);
CREATE INDEX ix_plans_house ON plans (house);
CREATE INDEX ix_sessions_person ON sessions (person);
COMMIT;
