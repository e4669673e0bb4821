"""What was decided: a whole house, versioned, every figure with unit and working, geometry, gates, days and price.

Papers, screens and handover know of a plan what stands here and nothing else. The stages' own frozen values are
its fields where they are plain already; their names are handed out here.
"""

from jambwright.checks.cautions import Caution
from jambwright.checks.delivery_list import DeliveryList, GlassToCheck, Within
from jambwright.checks.gates import Gate, Gates, Reason
from jambwright.checks.heat import Band, OptionRow, Range
from jambwright.checks.heat.saving import Saved
from jambwright.checks.verdict import AGAINST, GRAVITY, PartOfOpening, Stop, Verdict, Word, gravest, spoken_of
from jambwright.frame.faces import EDGES, Lapped
from jambwright.frame.kinds.slider import tracks
from jambwright.frame.layout import Bar as FrameBar
from jambwright.frame.layout import Layout, PlacedLight
from jambwright.frame.parts import Split
from jambwright.frame.rect import Rect, round_all
from jambwright.frame.reveals import SIDES_OF
from jambwright.frame.sill import Sill
from jambwright.opening import Point, Side
from jambwright.plan.bars import BarPlan
from jambwright.plan.blocks import Block, toe_edges
from jambwright.plan.buying import Buying
from jambwright.plan.chain import Found
from jambwright.plan.crew.days import NOISY, OPEN, Stay
from jambwright.plan.crew.recount import Placed
from jambwright.plan.crew.work import DAY, ENDS, STARTS
from jambwright.plan.cures import COOL_C
from jambwright.plan.cutting import Bar
from jambwright.plan.cutting_list import CuttingList
from jambwright.plan.lifts import Carry
from jambwright.plan.materials import Material
from jambwright.plan.money import PENNY
from jambwright.plan.options import AS_ORDERED, HouseOption, HouseOptions, OpeningOptions
from jambwright.plan.order_check import OrderCheck
from jambwright.plan.order_of_work import WorkStep
from jambwright.plan.packers import PackingPoint
from jambwright.plan.price import Estimate, Part
from jambwright.plan.quantities import Quantity
from jambwright.plan.saving import HouseSaving
from jambwright.plan.side_joints import SideJoint, Trim
from jambwright.plan.van_loads import Pick, VanLoad
from jambwright.readings import EVERY_PLACE
from jambwright.readings.delivered import Remake
from jambwright.readings.usual import Wall
from jambwright.readings.ways import At, Way, way_of
from jambwright.record.house import Change, Days, IssuedSize, OrderHead, PlanRecord, SinceIssue, Site
from jambwright.record.opening import (
    Face,
    GlassOrder,
    OpeningRecord,
    OrderFigures,
    Readings,
    Unread,
    VentSlots,
)
from jambwright.record.order_compare import changes_between, figure, rows_of, same, since_issue
from jambwright.record.order_document import (
    MADE_NOW,
    VIEW,
    Order,
    OrderItem,
    OrderLight,
    order_of,
    read_order,
    restrictor,
)
from jambwright.record.order_rows import (
    CHECK_ROWS,
    GLASS_ROWS,
    HEADINGS,
    LIGHT,
    OF_LIGHTS,
    OPENING,
    Cell,
    Row,
    check_rows,
    item_rows,
    key_of,
    not_said,
    specification,
)
from jambwright.record.plain import Figure, Plain, plain
from jambwright.record.read import read_record, record_of_tree

__all__ = [
    "AGAINST",
    "AS_ORDERED",
    "CHECK_ROWS",
    "COOL_C",
    "DAY",
    "EDGES",
    "ENDS",
    "EVERY_PLACE",
    "GLASS_ROWS",
    "GRAVITY",
    "HEADINGS",
    "LIGHT",
    "MADE_NOW",
    "NOISY",
    "OF_LIGHTS",
    "OPEN",
    "OPENING",
    "PENNY",
    "SIDES_OF",
    "STARTS",
    "VIEW",
    "At",
    "Band",
    "Bar",
    "BarPlan",
    "Block",
    "Buying",
    "Carry",
    "Caution",
    "Cell",
    "Change",
    "CuttingList",
    "Days",
    "DeliveryList",
    "Estimate",
    "Face",
    "Figure",
    "Found",
    "FrameBar",
    "Gate",
    "Gates",
    "GlassOrder",
    "GlassToCheck",
    "HouseOption",
    "HouseOptions",
    "HouseSaving",
    "IssuedSize",
    "Lapped",
    "Layout",
    "Material",
    "OpeningOptions",
    "OpeningRecord",
    "OptionRow",
    "Order",
    "OrderCheck",
    "OrderFigures",
    "OrderHead",
    "OrderItem",
    "OrderLight",
    "PackingPoint",
    "Part",
    "PartOfOpening",
    "Pick",
    "Placed",
    "PlacedLight",
    "Plain",
    "PlanRecord",
    "Point",
    "Quantity",
    "Range",
    "Readings",
    "Reason",
    "Rect",
    "Remake",
    "Row",
    "Saved",
    "Side",
    "SideJoint",
    "Sill",
    "SinceIssue",
    "Site",
    "Split",
    "Stay",
    "Stop",
    "Trim",
    "Unread",
    "VanLoad",
    "VentSlots",
    "Verdict",
    "Wall",
    "Way",
    "Within",
    "Word",
    "WorkStep",
    "changes_between",
    "check_rows",
    "figure",
    "gravest",
    "item_rows",
    "key_of",
    "not_said",
    "order_of",
    "plain",
    "read_order",
    "read_record",
    "record_of_tree",
    "restrictor",
    "round_all",
    "rows_of",
    "same",
    "since_issue",
    "specification",
    "spoken_of",
    "toe_edges",
    "tracks",
    "way_of",
]  # fmt: skip
