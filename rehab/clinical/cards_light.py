"""Cards 1–8: holds and light lifting. Stages and doses have their source on the card."""

from clinic.evidence import Status
from clinic.wording import gettext_noop as _

from .card import Card
from .dose import Dose

ON_TABLE = _(
    "Sit with your forearm on a table, palm down. Let your hand hang over the edge. "
    "Bend your elbow to about a right angle."
)
AT_SIDE = _("Stand or sit with your elbow bent at your side. Keep your wrist straight.")
WEIGHT = _("A small weight, or a bottle with water (100 ml weighs 0.1 kg)")
LIFTING_GATE = _("Holds of 5 × 45 s at pain 2 or less, quiet the next morning, 3 days running")

LIGHT_CARDS = (
    Card(
        number=1,
        code="wrist-hold",
        name=_("Wrist hold"),
        start=ON_TABLE,
        steps=(
            _("Hold your wrist level with your forearm."),
            _("Press the back of your hand up into your other hand, or hold a light weight still."),
            _("Stay just below the point where it hurts."),
            _("Let go slowly."),
        ),
        usual_mistake=_("Pushing into pain, lifting the shoulder, or holding your breath."),
        caution=_("If you have high blood pressure, use less effort and keep breathing."),
        equipment=_("A table; a light weight if you like"),
        structures=_("Wrist extensors, held at one length with the elbow bent"),
        stages=(1,),
        dose=Dose(sets=5, hold_s=30, rest_s=60),
        usual_dose=_("5 × 30–45 s, 60–120 s rest, once or twice a day, pain 2 or less"),
        gate=_("No sign that must be acted on first"),
        source="Coombes 2016, doi:10.1097/AJP.0000000000000365; "
        "Stasinopoulos 2017, doi:10.1016/j.jht.2016.09.001",
        status=Status.SECOND_HAND,
    ),
    Card(
        number=2,
        code="fist-hold",
        name=_("Fist hold"),
        start=AT_SIDE,
        steps=(
            _("Hold a soft ball or a rolled towel."),
            _("Squeeze gently and keep your wrist still."),
            _("Let go slowly."),
        ),
        usual_mistake=_("The wrist bends down, or you squeeze too hard."),
        caution=_("Stop if your hand tingles."),
        equipment=_("A soft ball or a rolled towel"),
        structures=_("Finger flexors; wrist extensors, which keep the wrist straight"),
        stages=(1,),
        dose=Dose(sets=5, hold_s=20, rest_s=60),
        usual_dose=_("5 × 20–30 s, once or twice a day"),
        gate=_("None"),
        source="none",
        status=Status.CONVENTION,
    ),
    Card(
        number=3,
        code="lower-slowly",
        name=_("Lower slowly"),
        start=ON_TABLE,
        steps=(
            _("Hold the weight. Use your other hand to lift it to the top."),
            _("Take the other hand away."),
            _("Let your wrist go down slowly, all the way."),
            _("Help it back up with the other hand."),
        ),
        usual_mistake=_("Lifting with the sore arm, or letting the hand drop."),
        caution=_("An ache for a day is common."),
        equipment=WEIGHT,
        structures=_("Wrist extensors, lengthening under load with the elbow bent"),
        stages=(2,),
        dose=Dose(sets=3, repetitions=15, down_s=4, rest_s=60),
        usual_dose=_(
            "3 × 15, 3–4 s down, 60 s rest, daily; a very slow form, 30 s down, on 5 days a week"
        ),
        gate=LIFTING_GATE,
        source="Peterson 2011, doi:10.3109/03009734.2011.600476; "
        "Tyler 2010, J Shoulder Elbow Surg 19:917–922; "
        "very slow form: Stasinopoulos 2017, doi:10.1016/j.jht.2016.09.001",
        status=Status.SECOND_HAND,
    ),
    Card(
        number=4,
        code="lift-and-lower",
        name=_("Lift and lower"),
        start=ON_TABLE,
        steps=(
            _("Hold the weight."),
            _("Lift your hand slowly as far as it goes."),
            _("Lower it slowly, all the way."),
        ),
        usual_mistake=_("The elbow lifts, or you do only half the way."),
        caution=_("Is the weight too much for you? Use a lighter one, and tell us."),
        equipment=WEIGHT,
        structures=_("Wrist extensors, shortening and lengthening with the elbow bent"),
        stages=(2,),
        dose=Dose(sets=3, repetitions=15, up_s=3, down_s=3, rest_s=60),
        usual_dose=_(
            "3 × 15, 2–3 s up, 3 s down; women 1 kg, men 2 kg, or less (0.5 kg if small or very "
            "weak: common practice); 0.1 kg more each week"
        ),
        gate=LIFTING_GATE,
        source="Peterson 2011, doi:10.3109/03009734.2011.600476",
        status=Status.SECOND_HAND,
    ),
    Card(
        number=5,
        code="thumb-up-lift",
        name=_("Thumb-up lift"),
        start=_("Sit with your forearm on a table, thumb up. Hold a weight or a hammer."),
        steps=(
            _("Tip your hand toward the thumb side."),
            _("Lower it slowly."),
        ),
        usual_mistake=_("The forearm turns."),
        caution=_("Start with your hand close to the heavy end."),
        equipment=_("A hammer or a small weight"),
        structures=_("Radial wrist extensors and the radial wrist flexor"),
        stages=(2, 3),
        dose=Dose(sets=3, repetitions=12, up_s=3, down_s=3, rest_s=60, days_per_week=3),
        usual_dose=_("3 × 12–15, 2–3 s each way, 3 days a week"),
        gate=_("Lift and lower done in full, 2 sessions running"),
        source="none",
        status=Status.CONVENTION,
    ),
    Card(
        number=6,
        code="turn-palm",
        name=_("Turn palm up, palm down"),
        start=_("Bend your elbow at your side or rest it on a table. Hold a hammer upright."),
        steps=(
            _("Turn the hammer slowly outward until it is level."),
            _("Turn it back up."),
            _("Turn it slowly inward until it is level."),
            _("Turn it back up."),
        ),
        usual_mistake=_("The body leans, or the elbow wanders."),
        caution=_("Stop if your neck, arm or hand tingles. Slide your hand up to make it lighter."),
        equipment=_("A hammer"),
        structures=_("Supinator and biceps outward, the pronators inward"),
        stages=(2, 3, 4),
        dose=Dose(sets=3, repetitions=10, up_s=3, down_s=3, rest_s=60, days_per_week=3),
        usual_dose=_("3 × 10–15, 3 s each way, 3 days a week"),
        gate=_("Lift and lower done in full, and pain-free grip not falling"),
        source="Couppé 2022 trial register NCT02521298; tempo from accounts of heavy slow resistance",
        status=Status.SECOND_HAND,
    ),
    Card(
        number=7,
        code="open-hand",
        name=_("Open hand against a band"),
        start=_("Put a rubber band round all five fingertips. Keep your wrist straight."),
        steps=(
            _("Open your fingers wide."),
            _("Close them slowly."),
        ),
        usual_mistake=_("The wrist bends back."),
        caution=_("Look at the band before you start: a worn one can snap and hurt your skin."),
        equipment=_("A wide rubber band"),
        structures=_("Finger and thumb extensors"),
        stages=(1, 2, 3),
        dose=Dose(sets=2, repetitions=15, up_s=2, down_s=2, rest_s=60),
        usual_dose=_("2–3 × 15–20, 2 s each way"),
        gate=_("None"),
        source="none",
        status=Status.CONVENTION,
    ),
    Card(
        number=8,
        code="ball-squeeze",
        name=_("Ball squeeze"),
        start=AT_SIDE,
        steps=(
            _("Squeeze the ball."),
            _("Hold."),
            _("Let go slowly."),
        ),
        usual_mistake=_("The wrist bends."),
        caution=_("Not while the elbow is easily upset."),
        equipment=_("A soft ball or putty"),
        structures=_("Finger flexors; wrist extensors, which keep the wrist straight"),
        stages=(2,),
        dose=Dose(sets=3, repetitions=10, hold_s=3, rest_s=60),
        usual_dose=_("3 × 10, hold 3–5 s, pain 2 or less"),
        gate=_("Pain at rest 2 or less"),
        source="none",
        status=Status.CONVENTION,
    ),
)
