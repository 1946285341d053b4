using Evenwater.Followers;
using Evenwater.Running;
using MQTTnet;

namespace Evenwater.Tests.Followers;

/// <summary>Ask desks, and what is sent to them.</summary>
internal static class Desks
{
    /// <summary>Any budget; the desk is told it by the station.</summary>
    public static readonly OpeningBudget Budget = new(10_000, 46_800);

    /// <summary>A key, of no use anywhere else: 0 to 31.</summary>
    public static readonly byte[] Key = [.. Enumerable.Range(0, AskKey.Bytes).Select(i => (byte)i)];

    public static AskDesk Of(string station, byte[]? key = null, Func<OpeningBudget?>? budget = null, TimeProvider? time = null) =>
        new(station, new ChallengeBook(station, key, budget ?? (() => Budget), time ?? TimeProvider.System), new AskLimit(time ?? TimeProvider.System));

    public static MqttApplicationMessage Message(string verb, string payload, bool retain = false, string? answer = "evenwater/v1/sim-river/answer/phone") =>
        new MqttApplicationMessageBuilder().WithTopic($"evenwater/v1/sim-river/ask/{verb}").WithPayload(payload).WithRetainFlag(retain).WithResponseTopic(answer).Build();

    public static Challenge Ask(AskDesk desk, string verb = "open") =>
        desk.Judge(Message("challenge", $$"""{"verb":"{{verb}}"}""")).Challenge ?? throw new InvalidOperationException("no challenge was given");

    /// <summary>The challenge's answer, signed, as it is sent.</summary>
    public static string Signed(Challenge challenge, byte[]? key = null) => Payload(challenge, challenge.Sign(key ?? Key));

    public static string Payload(Challenge challenge, string mac) =>
        $$"""{"nonce":"{{challenge.Nonce}}","millilitres":{{challenge.Budget.Millilitres}},"seconds":{{challenge.Budget.Seconds}},"mac":"{{mac}}"}""";
}
