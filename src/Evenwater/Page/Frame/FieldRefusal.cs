namespace Evenwater.Page.Frame;

/// <summary>Why a field of a form, or a parameter of a request, was not taken.</summary>
/// <param name="Field">Its name, as in the form and in JSON.</param>
/// <param name="Value">What was given; empty when nothing was.</param>
/// <param name="Allowed">What is allowed, with its unit.</param>
/// <param name="Do">What to do about it; null when that is plain from what is allowed.</param>
public sealed record FieldRefusal(string Field, string Value, string Allowed, string? Do = null)
{
    private const int MostShown = 60;

    /// <summary>In a sentence: the value, what is allowed, what to do.</summary>
    public string Sentence => $"{Shown} Allowed is {Allowed}.{(Do is null ? null : $" {Do}")}";

    private string Shown => Value.Length switch
    {
        0 => "Nothing was given.",
        > MostShown => $"\"{Plain.Line(Value[..MostShown])}…\" was given.",
        _ => $"\"{Plain.Line(Value)}\" was given.",
    };
}
